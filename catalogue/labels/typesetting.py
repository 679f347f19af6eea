"""Typesetting: font fallback, text width, line breaking (greedy), fitting to a box, cutting to an ellipsis.

The fourteen standard PDF fonts know Western European letters only. The PDF library brings a free font
(Bitstream Vera) with more Latin letters and some Greek and signs. A letter that neither shows loses its
accent where it has one; what is left (emoji, Arabic and so on) becomes a visible box, never an error.
Text too wide is set first a little smaller, then on more lines, then cut.
"""

import unicodedata
from functools import lru_cache
from typing import NamedTuple

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

MISSING_GLYPH = "\u25a1"
NUMBER_FONT, TITLE_FONT, TEXT_FONT, WORDS_FONT = "Times-Bold", "Helvetica-Bold", "Helvetica", "Times-Italic"
_WIDE = {"bold": ("LabelWideBold", "VeraBd.ttf"), "plain": ("LabelWide", "Vera.ttf")}
_WIDE_SCALE = 0.92  # Vera is drawn larger than the standard fonts at the same size
_BOX_WIDTH = 0.62
# Minutes and seconds of a position, or of feet and inches, which neither font has.
STAND_INS = {"′": "'", "″": '"'}


class TextRun(NamedTuple):
    """A stretch of text in one font; ``font`` is None for boxes."""

    text: str
    font: str | None


@lru_cache(maxsize=2)
def _wide(weight: str) -> TTFont:
    name, file = _WIDE[weight]
    font = TTFont(name, file)
    pdfmetrics.registerFont(font)
    return font


def _in_standard(char: str) -> bool:
    try:
        return len(char.encode("cp1252")) == 1
    except UnicodeEncodeError:
        return False


@lru_cache(maxsize=4096)
def _shown(char: str, font: str) -> tuple[TextRun, ...]:
    """How one character is shown in ``font``: as itself, in the wider font, bared of accents, or a box."""
    kind = unicodedata.category(char)
    if kind in ("Cc", "Zl", "Zp", "Zs"):
        return (TextRun(" ", font),)
    if kind in ("Cf", "Mn", "Me") or "\ufe00" <= char <= "\ufe0f":
        return ()  # joiners and marks left alone carry nothing that could be drawn
    char = STAND_INS.get(char, char)
    if _in_standard(char):
        return (TextRun(char, font),)
    wide = _wide("bold" if "Bold" in font else "plain")
    if ord(char) in wide.face.charToGlyph:
        return (TextRun(char, wide.fontName),)
    bare = unicodedata.normalize("NFKD", char)
    if bare != char:
        return tuple(run for part in bare for run in _shown(part, font))
    return (TextRun(MISSING_GLYPH, None),)


def clean(text: str) -> str:
    """Text with line ends and repeated spaces as single spaces, accents joined to their letters."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def as_runs(text: str, font: str) -> list[TextRun]:
    """Split into stretches that one font can show."""
    if text.isascii() and text.isprintable():
        return [TextRun(text, font)] if text else []
    joined: list[TextRun] = []
    for char in text:
        for run in _shown(char, font):
            if joined and joined[-1].font == run.font:
                joined[-1] = TextRun(joined[-1].text + run.text, run.font)
            else:
                joined.append(run)
    return joined


def _run_width(run: TextRun, font: str, size: float) -> float:
    if run.font is None:
        return len(run.text) * _BOX_WIDTH * size
    scale = 1.0 if run.font == font else _WIDE_SCALE
    return float(pdfmetrics.stringWidth(run.text, run.font, size * scale))


@lru_cache(maxsize=8192)
def _unit_width(text: str, font: str) -> float:
    return sum(_run_width(run, font, 1.0) for run in as_runs(text, font))


def width_of(text: str, font: str, size: float) -> float:
    """Width in points."""
    return _unit_width(text, font) * size


def draw_text(canvas: Canvas, x: float, y: float, text: str, font: str, size: float) -> None:
    """Draw with the baseline's left end at (x, y), points."""
    for run in as_runs(text, font):
        if run.font is None:
            for place in range(len(run.text)):
                left = x + place * _BOX_WIDTH * size + 0.06 * size
                canvas.setLineWidth(0.05 * size)
                canvas.rect(left, y, 0.5 * size, 0.62 * size, stroke=1, fill=0)
        else:
            canvas.setFont(run.font, size if run.font == font else size * _WIDE_SCALE)
            canvas.drawString(x, y, run.text)
        x += _run_width(run, font, size)


LEADING = 1.16  # line pitch as a part of the type size
ELLIPSIS = "…"
_STEP = 0.5  # points
_EASY = 0.8  # how far one line may shrink before a second line is tried


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
    """Break at spaces; a word that is wider than the line is broken where it must be."""
    lines: list[str] = []
    line = ""
    for word in clean(text).split(" "):
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
    """The text on one line, its end replaced by an ellipsis where it is too wide."""
    if width_of(text, font, size) <= width:
        return text
    return text[: _longest(text, font, size, width, ELLIPSIS)].rstrip(" ,;") + ELLIPSIS


def fit(
    text: str,
    font: str,
    *,
    width: float,
    height: float,
    largest: float,
    smallest: float,
    most_lines: int = 2,
) -> Block | None:
    """The best setting of the text in a box of points; None where not even one smallest line has room."""
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
        room = min(most_lines, int(height / (size * LEADING) + 1e-6))
        lines = wrap(text, font, size, width)
        if room and len(lines) <= room:
            return Block(tuple(lines), font, size, False)
        size -= _STEP
    room = max(1, min(most_lines, int(height / (smallest * LEADING) + 1e-6)))
    lines = wrap(text, font, smallest, width)
    if len(lines) <= room:
        return Block(tuple(lines), font, smallest, False)
    last = ellipsize(" ".join(lines[room - 1 :]), font, smallest, width)
    return Block((*lines[: room - 1], last), font, smallest, True)
