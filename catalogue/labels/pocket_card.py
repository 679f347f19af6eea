"""A list to carry in a pocket, as PDF: one sheet of paper, printed on one side and folded three times.

Folded once along the middle it is a strip, printed on both sides with nothing upside down; folded twice more
across, as an accordion, it is an eighth of the sheet. Nothing stands on a fold.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from catalogue.labels import typesetting
from catalogue.labels.page import HAIRLINE, INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.typesetting import LEADING, wrap

PAPERS: Final = {"A4": "A4", "letter": "Letter"}
FOLD_COLUMNS, FOLD_ROWS = 2, 4
_MARGIN_MM = 6.0  # printers leave about 5 mm at the edges of a sheet blank (common practice)
_HEAD_POINTS, _TEXT_POINTS, _SMALL_POINTS = 10.0, 8.5, 7.5
_INDENT_MM = 4.0  # room for the box to tick
_MOST_LETTERS = 2_000  # letters of one line's text; a note of pages has no place in a pocket


@dataclass(frozen=True, slots=True)
class CardLine:
    """One thing looked for, with what is written smaller below it."""

    words: str
    small: str = ""


@dataclass(frozen=True, slots=True)
class CardPart:
    """Lines under a heading."""

    heading: str
    lines: Sequence[CardLine]


@dataclass(frozen=True, slots=True)
class _Set:
    """A line as it is set; one with `begins` is not left alone at the foot of a panel."""

    words: str
    font: str
    size: float
    grey: float
    indent_mm: float = 0.0
    tick: bool = False
    begins: bool = False
    above_mm: float = 0.0

    @property
    def height_mm(self) -> float:
        return self.size * LEADING / POINTS_PER_MM


def pocket_card(parts: Iterable[CardPart], *, title: str, day: str, empty: str, paper: str = "A4") -> bytes:
    """A PDF of as many sheets as the parts take. `day`: when it was printed; `empty`: said where none is."""
    page = PdfPage(PAPERS[paper], title)
    width, height = page.width_mm / FOLD_COLUMNS, page.height_mm / FOLD_ROWS
    lines = [
        _Set(title, typesetting.NUMBER_FONT, 14.0, INK),
        _Set(day, typesetting.TEXT_FONT, _SMALL_POINTS, SOFT),
        *_lines(parts, (width - 2 * _MARGIN_MM) * POINTS_PER_MM),
    ]
    if len(lines) == 2:
        lines.append(_Set(empty, typesetting.TEXT_FONT, _TEXT_POINTS, INK, above_mm=2.0))
    panel, y = 0, _MARGIN_MM
    _folds(page)
    for n, line in enumerate(lines):
        above = line.above_mm if y > _MARGIN_MM else 0.0
        if y + above + _together(lines, n) > height - _MARGIN_MM and y > _MARGIN_MM:
            panel, y, above = panel + 1, _MARGIN_MM, 0.0
            if panel % (FOLD_COLUMNS * FOLD_ROWS) == 0:
                page.turn()
                _folds(page)
        at = panel % (FOLD_COLUMNS * FOLD_ROWS)
        _draw(page, line, at // FOLD_ROWS * width + _MARGIN_MM, at % FOLD_ROWS * height + y + above)
        y += above + line.height_mm
    return page.done()


def _together(lines: Sequence[_Set], n: int) -> float:
    """How high a line is with those that it may not be parted from, mm."""
    high = lines[n].height_mm
    while lines[n].begins and n + 1 < len(lines):
        n += 1
        high += lines[n].above_mm + lines[n].height_mm
    return high


def _lines(parts: Iterable[CardPart], width: float) -> Iterator[_Set]:
    """Everything in order, broken to the width, points; before each thing looked for a box to tick."""
    narrow = width - _INDENT_MM * POINTS_PER_MM
    for part in parts:
        heads = wrap(part.heading[:_MOST_LETTERS], typesetting.TITLE_FONT, _HEAD_POINTS, width)
        for n, words in enumerate(heads):
            above = 0.0 if n else 2.5
            yield _Set(words, typesetting.TITLE_FONT, _HEAD_POINTS, INK, begins=True, above_mm=above)
        for line in part.lines:
            small = wrap(line.small[:_MOST_LETTERS], typesetting.WORDS_FONT, _SMALL_POINTS, narrow)
            broken = wrap(line.words[:_MOST_LETTERS], typesetting.TEXT_FONT, _TEXT_POINTS, narrow)
            for n, words in enumerate(broken):
                yield _Set(
                    words,
                    typesetting.TEXT_FONT,
                    _TEXT_POINTS,
                    INK,
                    indent_mm=_INDENT_MM,
                    tick=not n,
                    begins=bool(small) and n == len(broken) - 1,
                    above_mm=0.0 if n else 0.6,
                )
            for words in small:
                yield _Set(words, typesetting.WORDS_FONT, _SMALL_POINTS, SOFT, indent_mm=_INDENT_MM)


def _draw(page: PdfPage, line: _Set, left: float, top: float) -> None:
    if line.tick:
        page.box(left, top + 0.5, 2.2, 2.2, grey=SOFT)
    baseline = top + line.size * 0.86 / POINTS_PER_MM
    page.text(left + line.indent_mm, baseline, line.words, line.font, line.size, line.grey)


def _folds(page: PdfPage) -> None:
    """A hairline along each fold."""
    for n in range(1, FOLD_COLUMNS):
        x = page.width_mm * n / FOLD_COLUMNS
        page.rule(x, 0, x, page.height_mm, grey=HAIRLINE)
    for n in range(1, FOLD_ROWS):
        y = page.height_mm * n / FOLD_ROWS
        page.rule(0, y, page.width_mm, y, grey=HAIRLINE)
