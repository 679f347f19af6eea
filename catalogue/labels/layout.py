"""Where the words of one label stand in its rectangle."""

from typing import NamedTuple

from catalogue.labels import fonts
from catalogue.labels.fitting import Block, fit
from catalogue.labels.kinds import LabelKind, LabelText
from catalogue.labels.page import INK, SOFT, Page
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, QrPlan, fit_qr
from catalogue.labels.sheets import Sheet

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
    _Line("title", fonts.TITLE, 11.0, 3, 0, INK),
    _Line("place_line", fonts.TEXT, 9.0, 2, 2, INK),
    _Line("made_words", fonts.WORDS, 11.0, 2, 1, INK),
    _Line("note", fonts.TEXT, 7.0, 2, 3, SOFT),
)


def code_space_mm(sheet: Sheet, kind: LabelKind) -> float:
    """The side of the square that a code may take on a label of this sheet."""
    wide = _CODE_SHARE if len(kind.parts) > 1 else 0.55
    return min(sheet.label_height_mm - 2 * _CODE_EDGE_MM, sheet.label_width_mm * wide)


def code_for(label: LabelText, sheet: Sheet, kind: LabelKind) -> QrPlan | None:
    """The code to print; None where the kind has none, there is no address, or it would not be readable."""
    if "url" not in kind.parts or not label.url:
        return None
    try:
        return fit_qr(label.url, code_space_mm(sheet, kind))
    except QrDoesNotFit:
        return None  # the number is printed all the same; code_trouble() says so before printing


def draw_label(page: Page, label: LabelText, sheet: Sheet, kind: LabelKind, left: float, top: float) -> None:
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
        across = fonts.width_of(number.lines[0], number.font, number.size)
        page.block(left + pad_x + max(0.0, room - _mm(across)) / 2, y, number)
        return
    y = page.block(left + pad_x, y, number)
    page.wave(left + pad_x, left + pad_x + room - (0 if code is None else 1.0), y + 0.7)
    y += 1.6
    for line, block in blocks:
        y = page.block(left + pad_x, y, block, line.grey)


def _mm(points: float) -> float:
    return points / POINTS_PER_MM


def _number(text: str, room: float, height: float, *, alone: bool) -> Block:
    """The number as large as it goes; it is never left off, so at worst it is cut at the smallest size."""
    text = fonts.clean(text) or "?"
    largest = min(44.0, height * POINTS_PER_MM * 0.8) if alone else min(28.0, 4.5 + height * 0.5)
    per_point = fonts.width_of(text, fonts.NUMBER, 1.0) or 1.0
    size = min(largest, room * POINTS_PER_MM / per_point)
    if size >= _LEAST_POINTS:
        return Block((text,), fonts.NUMBER, size, False)
    found = fit(
        text,
        fonts.NUMBER,
        width=room * POINTS_PER_MM,
        height=height * POINTS_PER_MM,
        largest=_LEAST_POINTS,
        smallest=_LEAST_POINTS,
        most_lines=3,
    )
    return found or Block((text[:12],), fonts.NUMBER, _LEAST_POINTS, True)


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
