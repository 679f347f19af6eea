"""Label sheets as PDF: exact positions, as many pages as it takes, and the plain-paper test page."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from catalogue.labels import typesetting
from catalogue.labels.band_layout import draw_edge, draw_heading
from catalogue.labels.card_layout import draw_card
from catalogue.labels.label_layout import (
    LabelArea,
    code_for,
    code_space_mm,
    draw_tie_on,
    draw_words_and_code,
    printed,
)
from catalogue.labels.label_text import HAZARD_PART, LABEL_KINDS, LabelKind, LabelText
from catalogue.labels.list_layout import draw_list, pages_of_list
from catalogue.labels.missing_letters import missing_letters_said
from catalogue.labels.page import PdfPage
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, fit_qr
from catalogue.labels.sheets import Sheet
from catalogue.labels.surface import HAIRLINE, INK, SOFT, Surface
from catalogue.labels.typesetting import wrap

LAYOUTS: Final[Mapping[str, Callable[[Surface, LabelText, LabelKind, LabelArea], None]]] = MappingProxyType(
    {
        "shelf": draw_words_and_code,
        "place": draw_words_and_code,
        "tie-on": draw_tie_on,
        "card": draw_card,
        "edge": draw_edge,
        "heading": draw_heading,
        "list": draw_list,
    }
)


def draw_label(
    page: Surface, label: LabelText, sheet: Sheet, kind: LabelKind, left: float, top: float
) -> None:
    """Draw one label of a sheet with its upper left corner there, mm."""
    LAYOUTS[kind.key](page, label, kind, LabelArea(left, top, sheet.label_width_mm, sheet.label_height_mm))


_DIGITS = re.compile("[0-9]")
MOST_OFFSET_MM = 15.0


class LabelError(ValueError):
    """A print that can't be made; ``field`` names the input at fault."""

    def __init__(self, field: str, why: str) -> None:
        super().__init__(why)
        self.field = field


def label_sheet(
    labels: Sequence[LabelText],
    sheet: Sheet,
    *,
    start_at: int = 1,
    offset_mm: tuple[float, float] = (0.0, 0.0),
    outlines: bool = False,
    kind: LabelKind = LABEL_KINDS["shelf"],
) -> bytes:
    """A PDF of the labels in order.

    ``start_at`` is the first unused label of a sheet already begun (1 = the first); ``offset_mm`` moves
    everything right and down to make up for a printer's feed; ``outlines`` draws each label's edge, for
    plain paper. A code that would be too small to read is left off (see ``code_trouble``).
    """
    if not labels:
        raise LabelError("labels", "There is nothing to print: no find is chosen.")
    check_start(start_at, sheet)
    check_offset(offset_mm)
    check_size(sheet, kind)
    page = PdfPage(sheet.own_page_mm or sheet.page, "Labels", offset_mm)
    each = on_pages(labels, sheet, kind)
    for place, label in enumerate(each, start=start_at - 1):
        index = place % sheet.per_page
        if index == 0 and place >= sheet.per_page:
            page.turn()
        left, top = sheet.place(index)
        if outlines or (sheet.to_cut and sheet.per_page > 1):
            round_mm = 1.0 if outlines and not sheet.to_cut else 0.0
            page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=round_mm)
        draw_label(page, label, sheet, kind, left, top)
    return page.done()


def on_pages(labels: Sequence[LabelText], sheet: Sheet, kind: LabelKind) -> list[LabelText]:
    """The labels as they are printed: a list too long for its page goes on to another."""
    if kind.about != "list":
        return list(labels)
    size = (sheet.label_width_mm, sheet.label_height_mm)
    return [part for label in labels for part in pages_of_list(label, *size, kind)]


def code_trouble(labels: Sequence[LabelText], sheet: Sheet, kind: LabelKind = LABEL_KINDS["shelf"]) -> str:
    """Why codes will be missing from this print, in words; empty where none will be."""
    size = (sheet.label_width_mm, sheet.label_height_mm)
    # Digits are alike to a code: of ten thousand labels, one of each shape is tried.
    shapes = {_DIGITS.sub("0", label.code): label for label in labels if label.code and kind.has_code}
    too_large = {shape for shape, label in shapes.items() if not code_for(label, *size, kind)}
    without = [label for label in labels if label.code and _DIGITS.sub("0", label.code) in too_large]
    if not without:
        return ""
    try:
        fit_qr(without[0].code, code_space_mm(*size, kind))
    except QrDoesNotFit as error:
        return (
            f"{len(without)} of {len(labels)} labels will carry no code: it needs {error.needs_mm:.1f} mm "
            f"and these labels leave {error.space_mm:.1f} mm. "
            "Take a larger label, a shorter address, or the number alone."
        )
    return ""


def letters_trouble(labels: Sequence[LabelText], kind: LabelKind) -> str:
    """Which letters would print as boxes, in words; empty where all can be set."""
    return missing_letters_said(_all_words(labels, kind))


def _all_words(labels: Sequence[LabelText], kind: LabelKind) -> Iterator[str]:
    for label in labels:
        for part in (*kind.parts - _NO_WORDS, HAZARD_PART):
            yield printed(label, kind, part)
        yield label.title if kind.about == "list" else ""
        for row in label.rows:
            yield from (row.title, row.place_line, row.note)


_NO_WORDS = frozenset({"code", "picture", "ruler"})


def check_size(sheet: Sheet, kind: LabelKind) -> None:
    """Refuse labels that are too small for what is to stand on them."""
    long, short = sorted((sheet.label_width_mm, sheet.label_height_mm), reverse=True)
    if long < kind.least_mm[0] or short < kind.least_mm[1]:
        least = " × ".join(f"{side:.0f}" for side in kind.least_mm)
        raise LabelError(
            "sheet",
            f"“{kind.name}” needs labels of at least {least} mm; "
            f"these have {sheet.label_width_mm:.0f} × {sheet.label_height_mm:.0f} mm. Choose another sheet.",
        )


def check_start(start_at: int, sheet: Sheet) -> None:
    """Refuse a first label that the sheet does not have."""
    if not 1 <= start_at <= sheet.per_page:
        raise LabelError(
            "start_at", f"This sheet has labels 1 to {sheet.per_page}; {start_at} is none of them."
        )


def check_offset(offset_mm: tuple[float, float]) -> None:
    """Refuse an offset that is no number or would move labels off their paper."""
    if not all(-MOST_OFFSET_MM <= mm <= MOST_OFFSET_MM for mm in offset_mm):
        raise LabelError("offset", f"Move by at most {MOST_OFFSET_MM:.0f} mm either way.")


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
    page = PdfPage(sheet.own_page_mm or sheet.page, f"Test page: {sheet.name}", offset_mm)
    for index in range(sheet.per_page):
        left, top = sheet.place(index)
        page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=1.0, grey=SOFT)
        size = min(16.0, sheet.label_height_mm * 0.9)
        page.text(
            left + 1.6, top + 1.2 + size * 0.26, str(index + 1), typesetting.NUMBER_FONT, size, HAIRLINE
        )
    if page.width_mm > _NOTE_WIDTH_MM and page.height_mm > _NOTE_HEIGHT_MM:
        _note(page, sheet)
    return page.done()


test_page.__test__ = False  # type: ignore[attr-defined]  # a page, not a test, though pytest collects the name


def _note(page: PdfPage, sheet: Sheet) -> None:
    left = (page.width_mm - _NOTE_WIDTH_MM) / 2
    top = (page.height_mm - _NOTE_HEIGHT_MM) / 2
    page.blank(left, top, _NOTE_WIDTH_MM, _NOTE_HEIGHT_MM)
    page.text(left + 6, top + 8, sheet.name, typesetting.NUMBER_FONT, 13)
    page.wave(left + 6, left + _NOTE_WIDTH_MM - 6, top + 11)
    words = _HOW if sheet.edge_mm >= 4 else f"{_HOW} {_EDGE.format(edge=sheet.edge_mm)}"
    y = top + 16
    for line in wrap(words, typesetting.TEXT_FONT, 8.0, (_NOTE_WIDTH_MM - 12) * POINTS_PER_MM):
        page.text(left + 6, y, line, typesetting.TEXT_FONT, 8.0)
        y += 3.5
    start, foot = (page.width_mm - 100) / 2, top + _NOTE_HEIGHT_MM - 5
    page.rule(start, foot, start + 100, foot)
    for tick in range(0, 101, 10):
        page.rule(start + tick, foot, start + tick, foot - (3 if tick % 50 == 0 else 1.6))
    page.text(start + 88.5, foot + 3.4, "100 mm", typesetting.TEXT_FONT, 7.0, INK)
