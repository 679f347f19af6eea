"""The plain-paper test page of a label sheet."""

from catalogue.labels import fonts
from catalogue.labels.fitting import wrap
from catalogue.labels.page import INK, LINE, SOFT, Page
from catalogue.labels.pdf import check_offset
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.sheets import Sheet

_NOTE_WIDTH_MM, _NOTE_HEIGHT_MM = 124.0, 46.0
_HOW = (
    "Print this page on plain paper at 100 %, without fitting to the page. Lay it on a label sheet and "
    "hold both to the light. Where the outlines sit 1 mm too far left, move right by 1 mm; too high, move "
    "down. The line below must measure 100 mm: if it does not, the printer is scaling."
)
_EDGE = "On this sheet labels come within {edge:.1f} mm of the edge, where many printers can't print."


def test_page(sheet: Sheet, *, offset_mm: tuple[float, float] = (0.0, 0.0)) -> bytes:
    """A PDF with every label's outline and number and a line to measure, and nothing of the catalogue."""
    check_offset(offset_mm)
    page = Page(sheet.page, f"Test page: {sheet.name}", offset_mm)
    for index in range(sheet.per_page):
        left, top = sheet.place(index)
        page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=1.0, grey=SOFT)
        size = min(16.0, sheet.label_height_mm * 0.9)
        page.text(left + 1.6, top + 1.2 + size * 0.26, str(index + 1), fonts.NUMBER, size, LINE)
    _note(page, sheet)
    return page.done()


test_page.__test__ = False  # type: ignore[attr-defined]  # a page, not a test, though pytest collects the name


def _note(page: Page, sheet: Sheet) -> None:
    left = (page.width_mm - _NOTE_WIDTH_MM) / 2
    top = (page.height_mm - _NOTE_HEIGHT_MM) / 2
    page.blank(left, top, _NOTE_WIDTH_MM, _NOTE_HEIGHT_MM)
    page.text(left + 6, top + 8, sheet.name, fonts.NUMBER, 13)
    page.wave(left + 6, left + _NOTE_WIDTH_MM - 6, top + 11)
    words = _HOW if sheet.edge_mm >= 4 else f"{_HOW} {_EDGE.format(edge=sheet.edge_mm)}"
    y = top + 16
    for line in wrap(words, fonts.TEXT, 8.0, (_NOTE_WIDTH_MM - 12) * POINTS_PER_MM):
        page.text(left + 6, y, line, fonts.TEXT, 8.0)
        y += 3.5
    start, foot = (page.width_mm - 100) / 2, top + _NOTE_HEIGHT_MM - 5
    page.rule(start, foot, start + 100, foot)
    for tick in range(0, 101, 10):
        page.rule(start + tick, foot, start + tick, foot - (3 if tick % 50 == 0 else 1.6))
    page.text(start + 88.5, foot + 3.4, "100 mm", fonts.TEXT, 7.0, INK)
