"""Label sheets as PDF (layout): exact positions, as many pages as it takes, and the plain-paper test page."""

from collections.abc import Sequence
from typing import NamedTuple

from catalogue.labels import typesetting
from catalogue.labels.label_text import LABEL_KINDS, LabelKind, LabelText
from catalogue.labels.page import HAIRLINE, INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, QrPlan, fit_qr
from catalogue.labels.sheets import Sheet
from catalogue.labels.typesetting import Block, fit, wrap

PADDING_MM = 2.0  # die-cutting and feeding wander by about this much (common practice)
_CODE_EDGE_MM = 0.5  # the quiet zone is itself a margin
_CODE_SHARE = 0.37  # of the label's width, so that words keep the larger part
_LEAST_POINTS = 5.0


class _Line(NamedTuple):
    """How a field is set: type, sizes in points for a label 38 mm high, and its turn when room is short."""

    field: str
    font: str
    largest: float
    most_lines: int
    turn: int
    grey: float


_LINES = (
    _Line("title", typesetting.TITLE_FONT, 11.0, 3, 0, INK),
    _Line("place_line", typesetting.TEXT_FONT, 9.0, 2, 2, INK),
    _Line("made_words", typesetting.WORDS_FONT, 11.0, 2, 1, INK),
    # What to be careful of is set first: it is the last that a small label may leave out.
    _Line("note", typesetting.TITLE_FONT, 8.0, 3, -1, INK),
)


def code_space_mm(sheet: Sheet, kind: LabelKind) -> float:
    """The side of the square that a code may take on a label of this sheet."""
    wide = _CODE_SHARE if len(kind.parts) > 1 else 0.55
    return min(sheet.label_height_mm - 2 * _CODE_EDGE_MM, sheet.label_width_mm * wide)


def code_for(label: LabelText, sheet: Sheet, kind: LabelKind) -> QrPlan | None:
    """The code to print; None where the kind has none, it holds nothing, or it would not be readable."""
    if "code" not in kind.parts or not label.code:
        return None
    try:
        return fit_qr(label.code, code_space_mm(sheet, kind))
    except QrDoesNotFit:
        return None  # the number is printed all the same; code_trouble() says so before printing


def draw_label(
    page: PdfPage, label: LabelText, sheet: Sheet, kind: LabelKind, left: float, top: float
) -> None:
    """Draw one label with its upper left corner there, mm."""
    width, height = sheet.label_width_mm, sheet.label_height_mm
    pad_x, pad_y = min(PADDING_MM, width * 0.08), min(PADDING_MM, height * 0.08)
    code = code_for(label, sheet, kind)
    room = width - 2 * pad_x
    if code:
        page.qr(code, left + width - code.side_mm - _CODE_EDGE_MM, top + (height - code.side_mm) / 2)
        room = width - pad_x - code.side_mm - _CODE_EDGE_MM
    lines = [line for line in _LINES if line.field in kind.parts and getattr(label, line.field).strip()]
    number = _number(label.number, room, height - 2 * pad_y, alone=not lines)
    blocks = _choose(label, lines, room, height - 2 * pad_y - _mm(number.height) - 1.6, height)
    taken = _mm(number.height) + (1.6 if blocks else 0) + sum(_mm(block.height) for _, block in blocks)
    spare = max(0.0, height - 2 * pad_y - taken)
    y = top + pad_y + spare / 2
    if not blocks:
        across = typesetting.width_of(number.lines[0], number.font, number.size)
        page.block(left + pad_x + max(0.0, room - _mm(across)) / 2, y, number)
        return
    y = page.block(left + pad_x, y, number)
    page.wave(left + pad_x, left + pad_x + room - (0 if code is None else 1.0), y + 0.7)
    y += 1.6
    for line, block in blocks:
        y = page.block(left + pad_x, y, block, line.grey, room_mm=room - 1.0)


def _mm(points: float) -> float:
    return points / POINTS_PER_MM


def _number(text: str, room: float, height: float, *, alone: bool) -> Block:
    """The number as large as it goes; it is never left off, so at worst it is cut at the smallest size."""
    text = typesetting.clean(text) or "?"
    largest = min(44.0, height * POINTS_PER_MM * 0.8) if alone else min(28.0, 4.5 + height * 0.5)
    per_point = typesetting.width_of(text, typesetting.NUMBER_FONT, 1.0) or 1.0
    size = min(largest, room * POINTS_PER_MM / per_point)
    if size >= _LEAST_POINTS:
        return Block((text,), typesetting.NUMBER_FONT, size, False)
    found = fit(
        text,
        typesetting.NUMBER_FONT,
        width=room * POINTS_PER_MM,
        height=height * POINTS_PER_MM,
        largest=_LEAST_POINTS,
        smallest=_LEAST_POINTS,
        most_lines=3,
    )
    return found or Block((text[:12],), typesetting.NUMBER_FONT, _LEAST_POINTS, True)


def _choose(
    label: LabelText, lines: list[_Line], room: float, height: float, label_height: float
) -> list[tuple[_Line, Block]]:
    """Set the fields in the order of their weight while there is height; given back in reading order."""
    scale = min(1.35, max(0.62, label_height / 38.0))
    left = height
    chosen: list[tuple[_Line, Block]] = []
    for line in sorted(lines, key=lambda line: line.turn):
        largest = max(_LEAST_POINTS + 0.5, line.largest * scale)
        block = fit(
            getattr(label, line.field),
            line.font,
            width=room * POINTS_PER_MM,
            height=left * POINTS_PER_MM,
            largest=largest,
            smallest=max(_LEAST_POINTS, largest * 0.72),
            most_lines=line.most_lines,
        )
        if block:
            chosen.append((line, block))
            left -= _mm(block.height)
    return sorted(chosen, key=lambda pair: _LINES.index(pair[0]))


MOST_OFFSET_MM = 15.0
MOST_LETTERS_NAMED = 12


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
    page = PdfPage(sheet.page, "Labels", offset_mm)
    for place, label in enumerate(labels, start=start_at - 1):
        index = place % sheet.per_page
        if index == 0 and place >= sheet.per_page:
            page.turn()
        left, top = sheet.place(index)
        if outlines:
            page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=1.0)
        draw_label(page, label, sheet, kind, left, top)
    return page.done()


def code_trouble(labels: Sequence[LabelText], sheet: Sheet, kind: LabelKind = LABEL_KINDS["shelf"]) -> str:
    """Why codes will be missing from this print, in words; empty where none will be."""
    without = [
        label for label in labels if label.code and "code" in kind.parts and not code_for(label, sheet, kind)
    ]
    if not without:
        return ""
    try:
        fit_qr(without[0].code, code_space_mm(sheet, kind))
    except QrDoesNotFit as error:
        return (
            f"{len(without)} of {len(labels)} labels will carry no code: it needs {error.needs_mm:.1f} mm "
            f"and these labels leave {error.space_mm:.1f} mm. "
            "Take a larger label, a shorter address, or the number alone."
        )
    return ""


def letters_trouble(labels: Sequence[LabelText], kind: LabelKind) -> str:
    """Which letters would print as boxes, in words; empty where all can be set."""
    printed = [getattr(label, part) for label in labels for part in kind.parts - {"code"}]
    missing = typesetting.letters_not_set(printed)
    if not missing:
        return ""
    named = " ".join(missing[:MOST_LETTERS_NAMED])
    more = ", and others" if len(missing) > MOST_LETTERS_NAMED else ""
    words = f"No font here has these letters, which would print as boxes: {named}{more}."
    return f"{words} {typesetting.JAPANESE_HINT}" if typesetting.wants_japanese(missing) else words


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
    page = PdfPage(sheet.page, f"Test page: {sheet.name}", offset_mm)
    for index in range(sheet.per_page):
        left, top = sheet.place(index)
        page.box(left, top, sheet.label_width_mm, sheet.label_height_mm, round_mm=1.0, grey=SOFT)
        size = min(16.0, sheet.label_height_mm * 0.9)
        page.text(
            left + 1.6, top + 1.2 + size * 0.26, str(index + 1), typesetting.NUMBER_FONT, size, HAIRLINE
        )
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
