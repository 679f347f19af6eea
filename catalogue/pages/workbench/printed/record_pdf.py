"""The treatment record as one page: pictures before and after, then every line; the type shrinks to fit."""

from catalogue.labels import fonts
from catalogue.labels.fitting import LEADING, fit, wrap
from catalogue.labels.page import INK, LINE, SOFT, Page
from catalogue.labels.qr import POINTS_PER_MM

from .printing import draw_lines, draw_picture, lines_height, picture_file
from .record import Line, Record

MARGIN = 14.0
WHEN = 33.0
SMALLEST = 5.5


def record_sheet(record: Record, *, size: str = "A4") -> bytes:
    """One page. Where the smallest type has no room for all, the oldest lines are only counted."""
    find = record.find
    page = Page(size, f"Treatment record of {find.number}")
    width = page.width_mm - 2 * MARGIN
    page.text(MARGIN, MARGIN + 3, "Treatment record", fonts.TEXT, 10, SOFT)
    y = MARGIN + 5
    for words, font, largest, lines in ((find.number, fonts.NUMBER, 20, 1), (find.what, fonts.WORDS, 14, 2)):
        block = fit(
            words,
            font,
            width=(width - 90) * POINTS_PER_MM,
            height=80,
            largest=largest,
            smallest=9,
            most_lines=lines,
        )
        if block:
            y = page.block(MARGIN, y, block) + 1.0
    aim = f"Look aimed at: {find.get_look_display()}" if find.look else ""
    for words in (find.made_words and f"Made: {find.made_words}", aim, f"Stage: {find.get_stage_display()}"):
        if words:
            y = draw_lines(page, words, MARGIN, y, width - 90, 9.5)
    for place, (photo, words) in enumerate(((record.before, "before"), (record.after, "after"))):
        left = page.width_mm - MARGIN - 84 + place * 43
        draw_picture(page, picture_file(photo), left, MARGIN, 41, 52)
        page.text(left, MARGIN + 56, words if photo else f"{words}: no picture", fonts.TEXT, 8.5, SOFT)
    y = max(y, MARGIN + 58) + 2
    page.wave(MARGIN, page.width_mm - MARGIN, y)
    tail = [*record.advice, *record.cautions]
    foot = page.height_mm - MARGIN - lines_height(tail, 8.5, width, 0.8)
    _lines(page, record.lines, y + 4, foot - 3, width)
    page.rule(MARGIN, foot - 2, page.width_mm - MARGIN, foot - 2, grey=LINE)
    for words in tail:
        foot = draw_lines(page, words, MARGIN, foot, width, 8.5) + 0.8
    return page.done()


def _lines(page: Page, lines: list[Line], top: float, foot: float, width: float) -> None:
    size = 10.0
    while size > SMALLEST and top + sum(_height(line, size, width) for line in lines) > foot:
        size -= 0.5
    shown = list(lines)
    while shown and top + sum(_height(line, size, width) for line in shown) + 4 > foot:
        shown.pop(0)
    if len(shown) < len(lines):
        said = f"{len(lines) - len(shown)} earlier lines are in the catalogue."
        top = draw_lines(page, said, MARGIN, top, width, size, grey=SOFT) + 1
    if not lines:
        draw_lines(page, "Nothing was done to it yet.", MARGIN, top, width, size)
    for line in shown:
        page.text(MARGIN, top + size * 0.86 / POINTS_PER_MM, line.when, fonts.TEXT, size * 0.92, SOFT)
        top = draw_lines(
            page, f"{line.name} ({line.by})", MARGIN + WHEN, top, width - WHEN, size, font=fonts.TITLE
        )
        for words, grey in ((line.words, INK), (line.short_note, SOFT)):
            if words:
                top = draw_lines(page, words, MARGIN + WHEN, top, width - WHEN, size, grey=grey)
        top += 1.6


def _height(line: Line, size: float, width: float) -> float:
    room = (width - WHEN) * POINTS_PER_MM
    rows = len(wrap(f"{line.name} ({line.by})", fonts.TITLE, size, room))
    rows += sum(len(wrap(words, fonts.TEXT, size, room)) for words in (line.words, line.short_note) if words)
    return rows * size * LEADING / POINTS_PER_MM + 1.6
