"""The layout of a list of what is in a box: a line a piece, smaller where there are many, then more pages."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from catalogue.labels import typesetting
from catalogue.labels.bidi_line import runs_from_right
from catalogue.labels.label_layout import LabelArea, code_for, mm
from catalogue.labels.label_text import LabelKind, LabelText, ListRow
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.surface import HAIRLINE, INK, SOFT, Surface
from catalogue.labels.typesetting import LEADING, Block, TypeRoom, ellipsize, fit, fit_whole
from catalogue.labels.year_phrase import shorter_phrases

_SIZES: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.5)  # points: one page as long as the last of them allows it
_MARGIN_MM: Final = 3.0
_ROW_GAP_MM: Final = 0.9
_HEAD_MM: Final = 24.0
_MOST_OF_NUMBER: Final = 0.24  # of the width


@dataclass(frozen=True, slots=True)
class _Line:
    """A row as it is set: each column's lines; the height of the highest."""

    number: str
    words: Sequence[str]
    years: Block | None
    note: Sequence[str]
    height: float


def pages_of_list(label: LabelText, width: float, height: float, kind: LabelKind) -> list[LabelText]:
    """The list as one label a page; on one page wherever its smallest type allows that.

    Each further page says which it is.
    """
    room = height - _HEAD_MM - 2 * _MARGIN_MM
    parts = _parted(label.rows, width, room, _size_for(label.rows, width, room, kind), kind)
    if len(parts) == 1:
        return [label]
    return [
        replace(
            label,
            rows=tuple(rows),
            count=f"{label.count}, page {n} of {len(parts)}" if "count" in kind.parts else f"Page {n}",
        )
        for n, rows in enumerate(parts, 1)
    ]


def _parted(
    rows: Sequence[ListRow], width: float, room: float, size: float, kind: LabelKind
) -> list[list[ListRow]]:
    pages: list[list[ListRow]] = [[]]
    left = room
    for row in rows:
        high = _set(row, width, size, kind).height
        if high > left and pages[-1]:
            pages.append([])
            left = room
        pages[-1].append(row)
        left -= high
    return pages


def _size_for(rows: Sequence[ListRow], width: float, room: float, kind: LabelKind) -> float:
    """The largest type with which these rows stay on one page."""
    if len(rows) * (mm(_SIZES[-1] * LEADING) + _ROW_GAP_MM) > room:
        return _SIZES[-1]  # not even a line each: nothing need be tried
    for size in _SIZES:
        if len(_parted(rows, width, room, size, kind)) == 1:
            return size
    return _SIZES[-1]


def draw_list(page: Surface, label: LabelText, kind: LabelKind, area: LabelArea) -> None:
    """The box's name, how much is in it, a code, and a line for each piece."""
    inner = area.inset(*[_MARGIN_MM] * 4)
    code = code_for(label, area.width, area.height, kind)
    head = inner
    if code:
        page.qr(code, inner.left + inner.width - code.side_mm, inner.top - 1.0)
        head = inner.inset(right=code.side_mm + 2.0)
    title = fit(
        label.title or "What is in this box",
        typesetting.NUMBER_FONT,
        TypeRoom.in_mm(width=head.width, height=13.0, largest=22.0, smallest=9.0),
    )
    y = inner.top
    if title:
        y = page.block(head.left, y, title, room_mm=head.width) + 0.6
    if label.count and ("count" in kind.parts or label.count.startswith("Page")):
        page.text(head.left, y + 3.4, label.count, typesetting.TEXT_FONT, 9.5, SOFT)
    body = inner.inset(top=_HEAD_MM)
    page.wave(inner.left, inner.left + inner.width, body.top - 2.0)
    size = _size_for(label.rows, area.width, body.height, kind)
    columns = _columns(area.width, kind)
    y = body.top
    for row in label.rows:
        y = _draw_row(page, _set(row, area.width, size, kind), columns, body, y, size)


def _columns(width: float, kind: LabelKind) -> tuple[float, float, float]:
    """Width of the numbers, of the words and of the years, mm."""
    inner = width - 2 * _MARGIN_MM
    number = min(26.0, inner * _MOST_OF_NUMBER) if "number" in kind.parts else 0.0
    years = min(46.0, inner * 0.28) if "made_words" in kind.parts else 0.0
    return number, inner - number - years, years


@lru_cache(maxsize=4096)
def _set(row: ListRow, width: float, size: float, kind: LabelKind) -> _Line:
    for_number, for_words, for_years = (w * POINTS_PER_MM for w in _columns(width, kind))
    named = [row.title if "title" in kind.parts else "", row.place_line if "place_line" in kind.parts else ""]
    words = fit(
        ", ".join(filter(None, named)),
        typesetting.TEXT_FONT,
        TypeRoom(width=for_words - 6, height=1000, largest=size, smallest=size, most_lines=2),
    )
    note = fit(
        row.note,
        typesetting.TITLE_FONT,
        TypeRoom(width=for_words - 6, height=1000, largest=size, smallest=size, most_lines=3),
    )
    years = None
    if for_years and row.made_words:
        years = fit_whole(
            shorter_phrases(row.made_words),
            typesetting.WORDS_FONT,
            TypeRoom(width=for_years, height=1000, largest=size, smallest=5.0, most_lines=2),
        )
    lines = (len(words.lines) if words else 0) + (len(note.lines) if note else 0)
    pitch = size * LEADING
    number = ellipsize(row.number, typesetting.TEXT_FONT, size * 0.94, for_number - 4) if for_number else ""
    return _Line(
        number,
        words.lines if words else (),
        years,
        note.lines if note else (),
        mm(max(max(lines, 1) * pitch, years.height if years else 0.0)) + _ROW_GAP_MM,
    )


def _draw_row(
    page: Surface, line: _Line, columns: tuple[float, float, float], area: LabelArea, y: float, size: float
) -> float:
    """One piece, a hairline below it; gives the mm where it ends."""
    pitch, first = mm(size * LEADING), mm(size * 0.86)
    if line.number:
        page.text(area.left, y + first, line.number, typesetting.TEXT_FONT, size * 0.94, SOFT)
    at = y
    left = area.left + columns[0]
    room = columns[1] - 2.0
    for words, font in (
        *((words, typesetting.TEXT_FONT) for words in line.words),
        *((words, typesetting.TITLE_FONT) for words in line.note),
    ):
        shift = room - mm(typesetting.width_of(words, font, size)) if runs_from_right(words) else 0.0
        page.text(left + shift, at + first, words, font, size, INK)
        at += pitch
    if line.years:
        page.block(left + columns[1], y, line.years)
    foot = y + line.height
    page.rule(area.left, foot - 0.4, area.left + area.width, foot - 0.4, grey=HAIRLINE)
    return foot
