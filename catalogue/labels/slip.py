"""The slip that goes with a piece when it is handed over: its story and its cautions on a small page."""

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.labels import typesetting
from catalogue.labels.page import HAIRLINE, INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, fit_qr
from catalogue.labels.sheets import LABEL_FACTS
from catalogue.labels.typesetting import LEADING, fit, wrap

SLIP_CAUTIONS = tuple(
    cells.text("words", needed=True) for cells in LABEL_FACTS.rows("slip_cautions", ("key", "words"))
)
SLIP_PAGES = ("A5", "A6")
_CODE_MM = 24.0


@dataclass(frozen=True, slots=True)
class SlipText:
    """What the slip says. ``where_found`` is printed as given: pass it only as exact as it may be shown."""

    number: str
    title: str
    place_line: str = ""
    made_words: str = ""
    where_found: str = ""
    story: str = ""
    treatment: str = ""
    handed_over: str = ""
    url: str = ""


def slip(text: SlipText, *, size: str = "A5", cautions: Sequence[str] = SLIP_CAUTIONS) -> bytes:
    """A PDF of one slip; a long story goes on to further pages, the cautions always stand on the first."""
    if size not in SLIP_PAGES:
        raise ValueError(f"A slip is printed on {' or '.join(SLIP_PAGES)}, not on {size!r}.")
    page = PdfPage(size, f"{text.number} {text.title}".strip())
    scale = 1.0 if size == "A5" else 0.82
    margin = 12.0 * scale
    y = _head(page, text, margin, scale)
    y = _facts(page, text, margin, y, scale)
    foot = _cautions(page, cautions, margin, scale)
    _story(page, text, margin, y, foot, scale)
    return page.done()


def _head(page: PdfPage, text: SlipText, margin: float, scale: float) -> float:
    """Number, name, window and code; gives the mm where the head ends."""
    right = page.width_mm - margin
    foot = margin
    if text.url:
        try:
            plan = fit_qr(text.url, _CODE_MM * scale)
        except QrDoesNotFit:
            plan = None
        if plan:
            page.qr(plan, right - plan.side_mm + 1.5, margin - 2.5)
            right -= plan.side_mm + 1
            foot = margin + plan.side_mm - 4
    width = (right - margin) * POINTS_PER_MM
    y = margin
    for words, font, size, lines, grey in (
        (text.number, typesetting.TEXT_FONT, 10.5 * scale, 1, SOFT),
        (text.title, typesetting.NUMBER_FONT, 20.0 * scale, 3, INK),
        (text.made_words, typesetting.WORDS_FONT, 15.0 * scale, 2, INK),
    ):
        block = fit(words, font, width=width, height=200, largest=size, smallest=size * 0.7, most_lines=lines)
        if block:
            y = page.block(margin, y, block, grey) + 1.2 * scale
    y = max(y + 1.5, foot)
    page.wave(margin, page.width_mm - margin, y)
    return y + 3.0 * scale


def _facts(page: PdfPage, text: SlipText, margin: float, y: float, scale: float) -> float:
    size, names = 9.5 * scale, 27.0 * scale
    width = (page.width_mm - 2 * margin - names) * POINTS_PER_MM
    for name, words in (
        ("Town or maker", text.place_line),
        ("Found", text.where_found),
        ("Cleaned", text.treatment),
        ("Handed over", text.handed_over),
    ):
        block = fit(
            words, typesetting.TEXT_FONT, width=width, height=120, largest=size, smallest=size, most_lines=3
        )
        if block:
            page.text(margin, y + size * 0.86 / POINTS_PER_MM, name, typesetting.TEXT_FONT, size, SOFT)
            y = page.block(margin + names, y, block) + 0.8 * scale
    return y + 2.0 * scale


def _cautions(page: PdfPage, cautions: Sequence[str], margin: float, scale: float) -> float:
    """A framed panel at the foot; gives the mm where it begins."""
    if not cautions:
        return page.height_mm - margin
    size = 8.5 * scale
    pitch = size * LEADING / POINTS_PER_MM
    inner = page.width_mm - 2 * margin - 8 * scale
    groups = [wrap(words, typesetting.TEXT_FONT, size, (inner - 3) * POINTS_PER_MM) for words in cautions]
    height = (sum(len(lines) for lines in groups) + 1.4) * pitch + (len(groups) + 1) * 1.0 * scale + 4 * scale
    top = page.height_mm - margin - height
    page.box(margin, top, page.width_mm - 2 * margin, height, round_mm=1.0, grey=SOFT)
    left, y = margin + 4 * scale, top + 3 * scale
    page.text(left, y + pitch * 0.8, "Before you use it", typesetting.TITLE_FONT, size * 1.06)
    y += pitch * 1.4 + 1.0 * scale
    for lines in groups:
        page.text(left, y + pitch * 0.75, "•", typesetting.TEXT_FONT, size)
        for line in lines:
            page.text(left + 3, y + pitch * 0.75, line, typesetting.TEXT_FONT, size)
            y += pitch
        y += 1.0 * scale
    return top - 4 * scale


def _story(page: PdfPage, text: SlipText, margin: float, y: float, foot: float, scale: float) -> None:
    """Paragraphs until the foot, then on further pages."""
    size = 11.0 * scale
    pitch = size * 1.3 / POINTS_PER_MM
    width = (page.width_mm - 2 * margin) * POINTS_PER_MM
    for paragraph in text.story[:20_000].splitlines():
        for line in wrap(paragraph, "Times-Roman", size, width):
            if y + pitch > foot:
                page.turn()
                page.text(margin, margin, f"{text.number}, continued", typesetting.TEXT_FONT, 9 * scale, SOFT)
                page.rule(margin, margin + 2, page.width_mm - margin, margin + 2, grey=HAIRLINE)
                y, foot = margin + 6 * scale, page.height_mm - margin
            page.text(margin, y + size * 0.9 / POINTS_PER_MM, line, "Times-Roman", size)
            y += pitch
        y += pitch * 0.4
