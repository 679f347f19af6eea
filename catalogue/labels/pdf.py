"""Label sheets as PDF: exact positions, as many pages as it takes."""

from collections.abc import Sequence

from catalogue.labels.kinds import KINDS, LabelKind, LabelText
from catalogue.labels.layout import code_for, code_space_mm, draw_label
from catalogue.labels.page import Page
from catalogue.labels.qr import QrDoesNotFit, fit_qr
from catalogue.labels.sheets import Sheet

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
    kind: LabelKind = KINDS["shelf"],
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
    page = Page(sheet.page, "Labels", offset_mm)
    for place, label in enumerate(labels, start=start_at - 1):
        index = place % sheet.per_page
        if index == 0 and place >= sheet.per_page:
            page.turn()
        left, top = sheet.place(index)
        if outlines:
            page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=1.0)
        draw_label(page, label, sheet, kind, left, top)
    return page.done()


def code_trouble(labels: Sequence[LabelText], sheet: Sheet, kind: LabelKind = KINDS["shelf"]) -> str:
    """Why codes will be missing from this print, in words; empty where none will be."""
    without = [
        label for label in labels if label.url and "url" in kind.parts and not code_for(label, sheet, kind)
    ]
    if not without:
        return ""
    try:
        fit_qr(without[0].url, code_space_mm(sheet, kind))
    except QrDoesNotFit as error:
        return (
            f"{len(without)} of {len(labels)} labels will carry no code: it needs {error.needs_mm:.1f} mm "
            f"and these labels leave {error.space_mm:.1f} mm. Take a larger label or a shorter address."
        )
    return ""


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
