"""Typesetting: font fallback, text width, line breaking (greedy), fitting to a box, cutting to an ellipsis.

The fourteen standard PDF fonts know Western European letters only. `fonts` has more; a letter that none of
them shows loses its accent where it has one; what is left (emoji and so on) becomes a visible box, never an
error. Text too wide is set first a little smaller, then on more lines, then shortened at a word.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from catalogue.labels.bidi_line import as_in, in_visual_order, without_marks
from catalogue.labels.fonts import (
    font_with,
    has_letters,
    scale_of,
    shaped,
    shaped_width,
    word_font,
)
from catalogue.labels.qr import POINTS_PER_MM

MISSING_GLYPH = "\u25a1"
_WORDS = re.compile("( +)")
NUMBER_FONT, TITLE_FONT, TEXT_FONT, WORDS_FONT = "Times-Bold", "Helvetica-Bold", "Helvetica", "Times-Italic"
BOX_WIDTH = 0.62
# Minutes and seconds of a position, or of feet and inches, which the standard fonts have as quotes.
STAND_INS = {"′": "'", "″": '"'}


class TextRun(NamedTuple):
    """A stretch of text in one font; ``font`` is None for boxes. A ``joined`` one is an Arabic word."""

    text: str
    font: str | None
    joined: bool = False


def _in_standard(char: str) -> bool:
    try:
        return len(char.encode("cp1252")) == 1
    except UnicodeEncodeError:
        return False


@lru_cache(maxsize=4096)
def _shown(char: str, font: str) -> tuple[TextRun, ...]:
    """How one character is shown in ``font``: as itself, in another font, bared of accents, or a box."""
    kind = unicodedata.category(char)
    if kind in ("Cc", "Zl", "Zp", "Zs"):
        return (TextRun(" ", font),)
    if kind in ("Cf", "Mn", "Me") or "\ufe00" <= char <= "\ufe0f":
        return ()  # joiners and marks left alone carry nothing that could be drawn
    char = STAND_INS.get(char, char)
    if _in_standard(char):
        return (TextRun(char, font),)
    if other := font_with(char, bold="Bold" in font):
        return (TextRun(char, other),)
    bare = unicodedata.normalize("NFKD", char)
    if bare != char:
        return tuple(run for part in bare for run in _shown(part, font))
    return (TextRun(MISSING_GLYPH, None),)


def clean(text: str) -> str:
    """Text with line ends and repeated spaces as single spaces, accents joined to their letters."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def as_runs(text: str, font: str) -> list[TextRun]:
    """Split into stretches that one font can show, in the order in which they are seen."""
    if text.isascii() and text.isprintable():
        return [TextRun(text, font)] if text else []
    joined: list[TextRun] = []
    for part in in_visual_order(text):
        other = word_font(part.text, bold="Bold" in font) if part.joined else None
        runs = [TextRun(part.text, other, True)] if other else _letters(part.text, font)
        for run in runs:
            if joined and joined[-1].font == run.font and not (run.joined or joined[-1].joined):
                joined[-1] = TextRun(joined[-1].text + run.text, run.font)
            else:
                joined.append(run)
    return joined


def _letters(text: str, font: str) -> list[TextRun]:
    return [run for word in _WORDS.split(text) for run in _word(word, font)]


@lru_cache(maxsize=4096)
def _word(word: str, font: str) -> tuple[TextRun, ...]:
    """A word stands in one font where one has all its letters: Łódź is not half in another."""
    runs = tuple(run for char in word for run in _shown(char, font))
    fonts = dict.fromkeys(run.font for run in runs)
    other = next((each for each in fonts if each != font), None)
    whole = len(fonts) == 2 and other and has_letters(other, word)
    return (TextRun(word, other),) if whole else runs


def letters_not_set(texts: Iterable[str], font: str = "Helvetica") -> str:
    """The letters of these texts that would print as boxes, each once, in the order they are met."""
    letters = dict.fromkeys(char for text in texts for char in unicodedata.normalize("NFC", text))
    return "".join(char for char in letters if any(run.font is None for run in _shown(char, font)))


def _run_width(run: TextRun, font: str, size: float) -> float:
    if run.font is None:
        return len(run.text) * BOX_WIDTH * size
    if run.joined:
        return shaped_width(shaped(run.text, run.font), size)
    return float(pdfmetrics.stringWidth(run.text, run.font, size * scale_of(run.font)))


@lru_cache(maxsize=8192)
def _unit_run_width(run: TextRun, font: str) -> float:
    return _run_width(run, font, 1.0)


@lru_cache(maxsize=8192)
def _unit_width(text: str, font: str) -> float:
    return sum(_unit_run_width(run, font) for run in as_runs(text, font))


def width_of(text: str, font: str, size: float) -> float:
    """Width in points."""
    return _unit_width(text, font) * size


class PlacedRun(NamedTuple):
    """A stretch of a line, where it begins and how wide it is, points."""

    run: TextRun
    x: float
    width: float


def placed_runs(text: str, font: str, size: float) -> Iterator[PlacedRun]:
    """The stretches of a line from left to right."""
    x = 0.0
    for run in as_runs(text, font):
        wide = _unit_run_width(run, font) * size
        yield PlacedRun(run, x, wide)
        x += wide


def draw_text(canvas: Canvas, x: float, y: float, text: str, font: str, size: float) -> None:
    """Draw with the baseline's left end at (x, y), points."""
    for run, along, _ in placed_runs(text, font, size):
        if run.font is None:
            for place in range(len(run.text)):
                left = x + along + place * BOX_WIDTH * size + 0.06 * size
                canvas.setLineWidth(0.05 * size)
                canvas.rect(left, y, 0.5 * size, 0.62 * size, stroke=1, fill=0)
        else:
            canvas.setFont(run.font, size * scale_of(run.font))
            canvas.drawString(x + along, y, shaped(run.text, run.font) if run.joined else run.text)


LEADING = 1.16  # line pitch as a part of the type size
ELLIPSIS = "…"
_STEP = 0.5  # points
_EASY = 0.8  # how far one line may shrink before a second line is tried


class TypeRoom(NamedTuple):
    """A box for words, in points, and the largest and smallest type in which they may stand there."""

    width: float
    height: float
    largest: float
    smallest: float
    most_lines: int = 2

    @classmethod
    def in_mm(
        cls, width: float, height: float, largest: float, smallest: float, most_lines: int = 2
    ) -> "TypeRoom":
        """The same of a box of so many mm; type is in points all the same."""
        return cls(width * POINTS_PER_MM, height * POINTS_PER_MM, largest, smallest, most_lines)


class Block(NamedTuple):
    """Lines of one text at one size; ``cut`` says that something was left off."""

    lines: tuple[str, ...]
    font: str
    size: float
    cut: bool

    @property
    def height(self) -> float:
        """Height in points of all lines."""
        return len(self.lines) * self.size * LEADING


def wrap(text: str, font: str, size: float, width: float) -> list[str]:
    """Break at spaces; a word that is wider than the line is broken where it must be.

    Lines begin at the side where the whole text does, whatever letters stand first in them.
    """
    whole = clean(text)
    return [as_in(whole, line) for line in _broken(whole, font, size, width)]


def _broken(text: str, font: str, size: float, width: float) -> list[str]:
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        trial = f"{line} {word}" if line else word
        if width_of(trial, font, size) <= width:
            line = trial
            continue
        if line:
            lines.append(line)
        while width_of(word, font, size) > width and len(word) > 1:
            keep = _longest(word, font, size, width)
            lines.append(word[:keep])
            word = word[keep:]
        line = word
    if line:
        lines.append(line)
    return lines


def _longest(text: str, font: str, size: float, width: float, tail: str = "") -> int:
    """How many characters fit, at least one (found by halving, as texts may be very long)."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle] + tail, font, size) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def ellipsize(text: str, font: str, size: float, width: float) -> str:
    """The text on one line; where it is too wide it ends after a word, an ellipsis behind it.

    Within a word only where the first one alone is too wide, or where nothing parts the words.
    """
    if width_of(text, font, size) <= width:
        return text
    keep = _longest(text, font, size, width, ELLIPSIS)
    kept = text[:keep]
    if text[keep] not in " ,;" and " " in kept.strip():
        kept = kept.rpartition(" ")[0]
    return kept.rstrip(" ,;&-–") + ELLIPSIS


def fit_whole(forms: Iterable[str], font: str, room: TypeRoom) -> Block | None:
    """The first of several forms, longest first, that is set with nothing cut, no word broken; else None."""
    for form in forms:
        block = fit(form, font, room)
        if block and not block.cut and without_marks(" ".join(block.lines)) == clean(form):
            return block
    return None


def fit(text: str, font: str, room: TypeRoom) -> Block | None:
    """The best setting of the text in a box; None where not even one smallest line has room."""
    width, height, largest, smallest, most_lines = room
    text = clean(text)[:400]
    if not text or smallest * LEADING > height:
        return None
    size = largest
    while size >= largest * _EASY and size >= smallest:
        if width_of(text, font, size) <= width and size * LEADING <= height:
            return Block((text,), font, size, False)
        size -= _STEP
    size = largest
    while size > smallest:
        count = min(most_lines, int(height / (size * LEADING) + 1e-6))
        lines = wrap(text, font, size, width)
        if count and len(lines) <= count:
            return Block(tuple(lines), font, size, False)
        size -= _STEP
    count = max(1, min(most_lines, int(height / (smallest * LEADING) + 1e-6)))
    lines = wrap(text, font, smallest, width)
    if len(lines) <= count:
        return Block(tuple(lines), font, smallest, False)
    last = ellipsize(without_marks(" ".join(lines[count - 1 :])), font, smallest, width)
    return Block((*lines[: count - 1], as_in(text, last)), font, smallest, True)
