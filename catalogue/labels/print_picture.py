"""What will be printed as pictures on the screen: the first label, and the sheet with the labels it takes."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from catalogue.labels.label_layout import printed
from catalogue.labels.label_text import HAZARD_PART, LabelKind, LabelText
from catalogue.labels.sheet_pdf import check_size, check_start, draw_label, on_pages
from catalogue.labels.sheets import Sheet
from catalogue.labels.svg_page import SvgPage

_EDGE_MM = 0.5
_LARGER, _WIDEST_MM = 1.6, 130.0  # the label on the screen beside the one on paper
# A page whose labels are as small is shown by its outlines: what stands on them could not be read.
_DRAWN_ON_PAGE = 40


@dataclass(frozen=True, slots=True)
class PrintPicture:
    """Both; no `sheet` where each page is one label."""

    label: SafeString
    sheet: SafeString


def print_picture(
    labels: Sequence[LabelText], sheet: Sheet, kind: LabelKind, *, start_at: int, outlines: bool = False
) -> PrintPicture | None:
    """Drawn by the layout of the PDF; None without labels. Raises LabelError as `label_sheet` does."""
    check_size(sheet, kind)
    check_start(start_at, sheet)
    each = on_pages(labels, sheet, kind)
    if not each:
        return None
    width, height = sheet.label_width_mm, sheet.label_height_mm
    edge = _EDGE_MM
    one = SvgPage(width, height, shown=(-edge, -edge, width + 2 * edge, height + 2 * edge))
    one.paper(0, 0, width, height, round_mm=0.0 if sheet.to_cut or sheet.roll else 1.0)
    draw_label(one, each[0], sheet, kind, 0, 0)
    words = f"The first label as it will be printed: {_said(each[0], kind)}"
    # safe: the drawing escapes every text it is given
    drawn = mark_safe(one.drawn(words, wide_mm=min(width * _LARGER, _WIDEST_MM)))
    return PrintPicture(drawn, mark_safe(_page(each, sheet, kind, start_at)))


def _said(label: LabelText, kind: LabelKind) -> str:
    parts = ("number", "title", "place_line", "made_words", HAZARD_PART)
    return ", ".join(words for part in parts if (words := printed(label, kind, part)))


def _page(each: Sequence[LabelText], sheet: Sheet, kind: LabelKind, start_at: int) -> str:
    if sheet.per_page == 1:
        return ""
    page = SvgPage(*sheet.page_size_mm)
    page.paper(0, 0, *sheet.page_size_mm)
    size = (sheet.label_width_mm, sheet.label_height_mm)
    for index in range(sheet.per_page):
        left, top = sheet.place(index)
        at = index - start_at + 1
        if at < 0:
            page.shade(left, top, *size)
            continue
        page.box(left, top, *size)
        if at < len(each) and sheet.per_page <= _DRAWN_ON_PAGE:
            draw_label(page, each[at], sheet, kind, left, top)
        elif at < len(each):
            page.rule(left + size[0] * 0.2, top + size[1] / 2, left + size[0] * 0.8, top + size[1] / 2)
    last = min(sheet.per_page, start_at - 1 + len(each))
    return page.drawn(f"The sheet: labels {start_at} to {last} of {sheet.per_page} are printed.")
