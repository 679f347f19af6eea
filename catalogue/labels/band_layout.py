"""The layout of headings for a group, and of strips for the edge of a shelf."""

from typing import Final

from catalogue.labels import typesetting
from catalogue.labels.label_layout import (
    CODE_EDGE_MM,
    LEAST_POINTS,
    PADDING_MM,
    LabelArea,
    LineStyle,
    code_for,
    mm,
    number_block,
    printed,
    set_part,
)
from catalogue.labels.label_text import HAZARD_PART, LabelKind, LabelText
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.surface import INK, SOFT, Surface
from catalogue.labels.typesetting import Block, TypeRoom

_LARGEST_HEAD: Final = 54.0
_BELOW: Final = (
    LineStyle("made_words", typesetting.WORDS_FONT, 0.42, 1, 1, INK),
    LineStyle("count", typesetting.TEXT_FONT, 0.32, 1, 2, SOFT),
)
_HEAD = LineStyle("title", typesetting.NUMBER_FONT, _LARGEST_HEAD, 2, 0, INK)
_NOTE = LineStyle(HAZARD_PART, typesetting.TITLE_FONT, 11.0, 2, 0, INK)


def draw_heading(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """The group's name as large as it goes, a wave below it, then its years and how many pieces."""
    inner = area.inset(*[min(PADDING_MM * 2, area.width * 0.06, area.height * 0.1)] * 4)
    note = _note(label, kind, inner)
    left = inner.height - (mm(note.height) + 1.0 if note else 0.0)
    below = [(style, words) for style in _BELOW if (words := printed(label, kind, style.part))]
    head = set_part(
        _HEAD,
        printed(label, kind, "title") or "?",
        TypeRoom.in_mm(
            width=inner.width,
            height=left * (0.62 if below else 0.95),
            largest=min(_LARGEST_HEAD, left * POINTS_PER_MM * 0.6),
            smallest=LEAST_POINTS,
        ),
    )
    y = inner.top
    if head:
        y = page.block(inner.left, y, head, room_mm=inner.width) + 1.2
        page.wave(inner.left, inner.left + inner.width, y)
        y += 2.0
    for style, words in below:
        size = max(LEAST_POINTS, min(20.0, style.largest * (head.size if head else 20.0) + 3.0))
        room = inner.top + left - y
        block = set_part(
            style,
            words,
            TypeRoom.in_mm(width=inner.width, height=room, largest=size, smallest=min(size, LEAST_POINTS)),
        )
        if block:
            y = page.block(inner.left, y, block, style.grey, room_mm=inner.width)
    if note:
        page.block(inner.left, inner.top + inner.height - mm(note.height), note, INK, room_mm=inner.width)


def _note(label: LabelText, kind: LabelKind, area: LabelArea) -> Block | None:
    words = printed(label, kind, HAZARD_PART)
    if not words:
        return None
    return set_part(
        _NOTE,
        words,
        TypeRoom.in_mm(
            width=area.width,
            height=area.height * 0.5,
            largest=min(11.0, max(LEAST_POINTS + 0.5, area.height * 0.5)),
            smallest=LEAST_POINTS,
        ),
    )


def draw_edge(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """One line: the number, then what it is with town and years below it, a code at the end."""
    inner = area.inset(PADDING_MM, min(1.5, area.height * 0.08), PADDING_MM, min(1.5, area.height * 0.08))
    code = code_for(label, area.width, area.height, kind)
    if code:
        left = area.left + area.width - code.side_mm - CODE_EDGE_MM
        page.qr(code, left, area.top + (area.height - code.side_mm) / 2)
        inner = inner.inset(right=code.side_mm - PADDING_MM + CODE_EDGE_MM)
    rest = [part for part in ("title", "place_line", "made_words", "kept_at") if printed(label, kind, part)]
    number = printed(label, kind, "number")
    if number:
        alone = not rest and not printed(label, kind, HAZARD_PART)
        room = inner.width if alone else inner.width * 0.4
        block = number_block(number, room, inner.height, alone=True)
        page.block(inner.left, inner.top + (inner.height - mm(block.height)) / 2, block)
        inner = inner.inset(left=mm(typesetting.width_of(block.lines[0], block.font, block.size)) + 3.0)
    _beside(page, label, kind, rest, inner)


_BESIDE: Final = {
    "title": LineStyle("title", typesetting.TITLE_FONT, 14.0, 2, 0, INK),
    "place_line": LineStyle("place_line", typesetting.TEXT_FONT, 9.0, 1, 2, INK),
    "made_words": LineStyle("made_words", typesetting.WORDS_FONT, 12.0, 1, 1, INK),
    "kept_at": LineStyle("kept_at", typesetting.TEXT_FONT, 8.0, 1, 3, SOFT),
}


def _beside(page: Surface, label: LabelText, kind: LabelKind, parts: list[str], area: LabelArea) -> None:
    """What stands beside the number, the hazard first to have room and last to be read."""
    note = _note(label, kind, area)
    left = area.height - (mm(note.height) if note else 0.0)
    blocks: dict[str, Block] = {}
    for place, part in enumerate(sorted(parts, key=lambda part: _BESIDE[part].turn)):
        waiting = (len(parts) - place - 1) * mm(LEAST_POINTS * typesetting.LEADING)
        style = _BESIDE[part]
        if len(parts) > 2:
            style = style._replace(most_lines=1)
        block = set_part(
            style,
            printed(label, kind, part),
            TypeRoom.in_mm(
                width=area.width,
                height=max(left - waiting, min(left, mm(LEAST_POINTS * typesetting.LEADING) + 1e-6)),
                largest=style.largest,
                smallest=LEAST_POINTS,
            ),
        )
        if block:
            blocks[part] = block
            left -= mm(block.height)
    y = area.top + max(0.0, left) / 2
    for part in parts:
        if part in blocks:
            y = page.block(area.left, y, blocks[part], _BESIDE[part].grey, room_mm=area.width)
    if note:
        page.block(area.left, y, note, INK, room_mm=area.width)
