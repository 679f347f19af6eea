"""The layout of shelf labels, tags to tie on, places' labels: number, words, code, what to be careful of."""

from typing import Final, NamedTuple

from catalogue.labels import typesetting
from catalogue.labels.label_text import HAZARD_PART, LabelKind, LabelText
from catalogue.labels.qr import POINTS_PER_MM, QrDoesNotFit, QrPlan, fit_qr
from catalogue.labels.surface import INK, SOFT, Surface
from catalogue.labels.typesetting import LEADING, Block, TypeRoom, fit, fit_whole
from catalogue.labels.year_phrase import shorter_phrases

PADDING_MM: Final = 2.0  # die-cutting and feeding wander by about this much (common practice)
LEAST_POINTS: Final = 5.0
CODE_EDGE_MM: Final = 0.5  # the quiet zone is itself a margin
_CODE_SHARE = 0.37  # of the label's width, so that words keep the larger part
HOLE_MM: Final = 5.0
_HOLE_ROOM_MM = 10.0


class LabelArea(NamedTuple):
    """Where a label lies on its page, mm."""

    left: float
    top: float
    width: float
    height: float

    def inset(
        self, left: float = 0.0, top: float = 0.0, right: float = 0.0, foot: float = 0.0
    ) -> "LabelArea":
        """The same, smaller on these sides."""
        return LabelArea(
            self.left + left, self.top + top, self.width - left - right, self.height - top - foot
        )


class LineStyle(NamedTuple):
    """How a part is set: type, sizes in points for a label 38 mm high, and its turn when room is short."""

    part: str
    font: str
    largest: float
    most_lines: int
    turn: int
    grey: float


_LINES = (
    LineStyle("title", typesetting.TITLE_FONT, 11.0, 3, 0, INK),
    LineStyle("place_line", typesetting.TEXT_FONT, 9.0, 2, 2, INK),
    LineStyle("made_words", typesetting.WORDS_FONT, 11.0, 2, 1, INK),
    LineStyle("count", typesetting.TEXT_FONT, 8.0, 1, 4, INK),
    LineStyle("kept_at", typesetting.TEXT_FONT, 8.0, 2, 3, INK),
    # What to be careful of is set first: it is the last that a small label may leave out.
    LineStyle(HAZARD_PART, typesetting.TITLE_FONT, 8.0, 3, -1, INK),
)


def printed(label: LabelText, kind: LabelKind, part: str) -> str:
    """The words of a part as they are printed: empty where it is not chosen."""
    words = getattr(label, part) if part == HAZARD_PART or part in kind.parts else ""
    return str(words).strip()


def code_space_mm(width: float, height: float, kind: LabelKind) -> float:
    """The side of the square that a code may take on a label of this size."""
    if kind.key == "card":
        return min(24.0, width * 0.3, height * 0.3)
    if kind.key == "list":
        return min(26.0, width * 0.2)
    if kind.key == "tie-on":
        width, height = (
            (width - _HOLE_ROOM_MM, height) if width >= height else (width, height - _HOLE_ROOM_MM)
        )
    wide = _CODE_SHARE if len(kind.parts) > 2 else 0.55
    return min(height - 2 * CODE_EDGE_MM, width * wide)


def code_for(label: LabelText, width: float, height: float, kind: LabelKind) -> QrPlan | None:
    """The code to print; None where the kind has none, it holds nothing, or it would not be readable."""
    if not kind.has_code or not label.code:
        return None
    try:
        return fit_qr(label.code, code_space_mm(width, height, kind))
    except QrDoesNotFit:
        return None  # the number is printed all the same; code_trouble() says so before printing


def mm(points: float) -> float:
    """Millimetres of so many points."""
    return points / POINTS_PER_MM


def set_part(style: LineStyle, words: str, room: TypeRoom) -> Block | None:
    """A part set into a box: years shortened by rule and never cut, other words at a word."""
    if style.part == "made_words":
        two = room._replace(most_lines=max(style.most_lines, 2))
        return fit_whole(shorter_phrases(words), style.font, two)
    return fit(words, style.font, room._replace(most_lines=style.most_lines))


def draw_words_and_code(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """A shelf label, or the label of a place."""
    _draw_beside_code(page, label, kind, area, code_for(label, area.width, area.height, kind))


def _draw_beside_code(
    page: Surface, label: LabelText, kind: LabelKind, area: LabelArea, code: QrPlan | None
) -> None:
    pad_x, pad_y = min(PADDING_MM, area.width * 0.08), min(PADDING_MM, area.height * 0.08)
    lines = [line for line in _LINES if printed(label, kind, line.part)]
    number = label.number.strip() if "number" in kind.parts else ""
    if code and not lines and not number:
        page.qr(code, *_middle_of(area, code.side_mm))
        return
    if code:
        top = area.top + (area.height - code.side_mm) / 2
        page.qr(code, area.left + area.width - code.side_mm - CODE_EDGE_MM, top)
    words = area.inset(pad_x, pad_y, code.side_mm + CODE_EDGE_MM if code else pad_x, pad_y)
    _draw_words(page, label, kind, words, number, lines, area.height, before_code=code is not None)


def _middle_of(area: LabelArea, side: float) -> tuple[float, float]:
    return area.left + (area.width - side) / 2, area.top + (area.height - side) / 2


def draw_tie_on(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """A tag: where to punch it at its left end, or at its head where it is higher than wide."""
    if area.width >= area.height:
        hole = (area.left + 3.0, area.top + (area.height - HOLE_MM) / 2)
        rest = area.inset(left=_HOLE_ROOM_MM)
    else:
        hole = (area.left + (area.width - HOLE_MM) / 2, area.top + 3.0)
        rest = area.inset(top=_HOLE_ROOM_MM)
    page.box(*hole, HOLE_MM, HOLE_MM, round_mm=HOLE_MM / 2, grey=SOFT)
    _draw_beside_code(page, label, kind, rest, code_for(label, area.width, area.height, kind))


def _draw_words(
    page: Surface,
    label: LabelText,
    kind: LabelKind,
    area: LabelArea,
    number: str,
    lines: list[LineStyle],
    label_height: float,
    *,
    before_code: bool,
) -> None:
    head = number_block(number, area.width, area.height, alone=not lines) if number else None
    taken = mm(head.height) + (1.6 if lines else 0) if head else 0.0
    blocks = _choose(label, kind, lines, area.width, area.height - taken, label_height)
    taken = (mm(head.height) + (1.6 if blocks else 0) if head else 0.0) + sum(mm(b.height) for _, b in blocks)
    y = area.top + max(0.0, area.height - taken) / 2
    if head and not blocks:
        across = typesetting.width_of(head.lines[0], head.font, head.size)
        page.block(area.left + max(0.0, area.width - mm(across)) / 2, y, head)
        return
    if head:
        y = page.block(area.left, y, head)
        page.wave(area.left, area.left + area.width - (1.0 if before_code else 0), y + 0.7)
        y += 1.6
    for line, block in blocks:
        y = page.block(area.left, y, block, line.grey, room_mm=area.width - 1.0)


def number_block(text: str, room: float, height: float, *, alone: bool) -> Block:
    """The number as large as it goes; it is never left off, so at worst it is cut at the smallest size."""
    text = typesetting.clean(text) or "?"
    largest = min(44.0, height * POINTS_PER_MM * 0.8) if alone else min(28.0, 4.5 + height * 0.5)
    per_point = typesetting.width_of(text, typesetting.NUMBER_FONT, 1.0) or 1.0
    size = min(largest, room * POINTS_PER_MM / per_point)
    if size >= LEAST_POINTS:
        return Block((text,), typesetting.NUMBER_FONT, size, False)
    found = fit(
        text,
        typesetting.NUMBER_FONT,
        TypeRoom.in_mm(width=room, height=height, largest=LEAST_POINTS, smallest=LEAST_POINTS, most_lines=3),
    )
    return found or Block((text[:12],), typesetting.NUMBER_FONT, LEAST_POINTS, True)


def _choose(
    label: LabelText, kind: LabelKind, lines: list[LineStyle], room: float, height: float, label_height: float
) -> list[tuple[LineStyle, Block]]:
    """Set the parts in the order of their weight while there is height; given back in reading order."""
    scale = min(1.35, max(0.62, label_height / 38.0))
    left = height
    chosen: list[tuple[LineStyle, Block]] = []
    turns = sorted(lines, key=lambda line: line.turn)
    for place, line in enumerate(turns):
        largest = max(LEAST_POINTS + 0.5, line.largest * scale)
        smallest = max(LEAST_POINTS, largest * 0.72)
        words = printed(label, kind, line.part)
        # A long name leaves a line to each of what comes after it, as long as it has a line itself.
        kept = 0.0 if line.part == HAZARD_PART else mm(LEAST_POINTS * LEADING) * len(turns[place + 1 :])
        height_of_it = max(left - kept, min(left, mm(smallest * LEADING) + 1e-6))
        block = set_part(
            line, words, TypeRoom.in_mm(width=room, height=height_of_it, largest=largest, smallest=smallest)
        )
        if block is None or (block.cut and line.part == HAZARD_PART):
            small = line._replace(most_lines=line.most_lines + 1)
            block = (
                set_part(
                    small,
                    words,
                    TypeRoom.in_mm(width=room, height=left, largest=smallest, smallest=LEAST_POINTS),
                )
                or block
            )
        if block:
            chosen.append((line, block))
            left -= mm(block.height)
    return sorted(chosen, key=lambda pair: _LINES.index(pair[0]))
