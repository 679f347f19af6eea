"""Field tags as PDF: a number large enough to read in any picture, and its code, on paper to be cut apart.

The code holds the tag alone, not an address: so few letters make the smallest code at its best correction
level (version 1-H, ISO/IEC 18004), whose modules can be four times the size of a label's. It is read under a
film of water, aslant and a little out of focus.
"""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from catalogue.common.qr_code import modules
from catalogue.labels import typesetting
from catalogue.labels.page import HAIRLINE, SOFT, PdfPage
from catalogue.labels.qr import DOTS_PER_MM, POINTS_PER_MM, QrPlan
from catalogue.labels.sheets import Sheet

# Ten to a page, edge to edge, so that one straight cut parts two tags.
TAG_SHEETS: Mapping[str, Sheet] = MappingProxyType(
    {
        "A4": Sheet("tags-a4", "A4", 2, 5, 95.0, 55.0, 10.0, 11.0, 95.0, 55.0),
        "Letter": Sheet("tags-letter", "Letter", 2, 5, 97.0, 51.0, 10.95, 12.2, 97.0, 51.0),
    }
)
_CODE_MM = 40.0
_HOLE_MM = 5.0
_EDGE_MM = 4.0
_LINES = ("where", "depth")


def code_plan(tag: str) -> QrPlan:
    """The tag's code with the largest module of whole printer dots that keeps it within 40 mm."""
    plan = QrPlan(modules(tag), 1 / DOTS_PER_MM)
    return QrPlan(plan.rows, int(_CODE_MM / plan.side_mm) / DOTS_PER_MM)


def tag_sheet(tags: Sequence[str], page_size: str) -> bytes:
    """A PDF of tags, ten a page. Raises KeyError for a page that there is not, ValueError without tags."""
    if not tags:
        raise ValueError("There is no tag to print.")
    sheet = TAG_SHEETS[page_size]
    page = PdfPage(sheet.page, f"Field tags {tags[0]} to {tags[-1]}")
    for place, tag in enumerate(tags):
        index = place % sheet.per_page
        if place and not index:
            page.turn()
        left, top = sheet.place(index)
        _draw(page, sheet, tag, left, top)
    return page.done()


def _draw(page: PdfPage, sheet: Sheet, tag: str, left: float, top: float) -> None:
    width, height = sheet.label_width_mm, sheet.label_height_mm
    page.box(left, top, width, height, grey=HAIRLINE)
    plan = code_plan(tag)
    code_left = left + width - plan.side_mm - 1.5
    page.qr(plan, code_left, top + (height - plan.side_mm) / 2)
    _hole(page, left + _EDGE_MM, top + _EDGE_MM)
    room = code_left - left - 2 * _EDGE_MM
    size = min(54.0, room * POINTS_PER_MM / typesetting.width_of(tag, typesetting.NUMBER_FONT, 1.0))
    page.text(left + _EDGE_MM, top + height * 0.56, tag, typesetting.NUMBER_FONT, size)
    for row, word in enumerate(_LINES):
        foot = top + height * 0.72 + row * 8.5
        page.text(left + _EDGE_MM, foot, word, typesetting.TEXT_FONT, 7.0, SOFT)
        page.rule(left + _EDGE_MM + 10, foot + 0.6, left + _EDGE_MM + room, foot + 0.6, grey=HAIRLINE)


def _hole(page: PdfPage, left: float, top: float) -> None:
    """Where to punch it for a line."""
    page.box(left, top, _HOLE_MM, _HOLE_MM, round_mm=_HOLE_MM / 2, grey=SOFT)
