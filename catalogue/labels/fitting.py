"""Making text fit: first a little smaller, then on more lines, then cut with an ellipsis."""

from typing import NamedTuple

from catalogue.labels.fonts import clean, width_of

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


def cut(text: str, font: str, size: float, width: float) -> str:
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
    last = cut(" ".join(lines[room - 1 :]), font, smallest, width)
    return Block((*lines[: room - 1], last), font, smallest, True)
