"""Setting a slip's words: smaller down to a floor, then shortened at a word."""

from typing import NamedTuple

from catalogue.labels.bidi_line import runs_from_right
from catalogue.labels.page import INK, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.typesetting import ELLIPSIS, LEADING, clean, width_of, wrap

STORY_LEADING = 1.3
_PARAGRAPH_GAP = 0.4  # of a line
_STEP = 0.5  # points
# No slip has room for more; a text of a megabyte is not set to its end to find that out.
_MOST_LETTERS = 8_000


class Setting(NamedTuple):
    """Lines at one size; an empty line is the gap between paragraphs. `cut`: something was left off."""

    lines: tuple[str, ...]
    font: str
    size: float
    leading: float
    cut: bool = False

    @property
    def height_mm(self) -> float:
        """Height of all lines in mm."""
        return _height(self.lines, self.size, self.leading)


NOT_SET = Setting((), "Helvetica", 1.0, LEADING)


def set_words(
    text: str, font: str, *, width_mm: float, largest: float, smallest: float, most_lines: int
) -> Setting:
    """One paragraph on at most so many lines; sizes in points."""
    text = clean(text[:_MOST_LETTERS])
    if not text or most_lines < 1:
        return NOT_SET
    width, size = width_mm * POINTS_PER_MM, largest
    while True:
        lines = wrap(text, font, size, width)
        if len(lines) <= most_lines:
            return Setting(tuple(lines), font, size, LEADING)
        if size <= smallest:
            return Setting(tuple(shortened(lines, most_lines, font, size, width)), font, size, LEADING, True)
        size = max(smallest, size - _STEP)


def set_story(
    text: str, font: str, *, width_mm: float, height_mm: float, largest: float, smallest: float
) -> Setting:
    """Paragraphs within a height; shrunk to the floor, then shortened at a word."""
    paragraphs = [clean(each) for each in text[:_MOST_LETTERS].splitlines() if clean(each)]
    if not paragraphs:
        return NOT_SET
    if height_mm < smallest * STORY_LEADING / POINTS_PER_MM:
        return NOT_SET._replace(cut=True)
    width, size = width_mm * POINTS_PER_MM, largest
    while True:
        lines: list[str] = []
        for paragraph in paragraphs:
            lines += [*([""] if lines else []), *wrap(paragraph, font, size, width)]
        if _height(lines, size, STORY_LEADING) <= height_mm:
            return Setting(tuple(lines), font, size, STORY_LEADING, len(text) > _MOST_LETTERS)
        if size <= smallest:
            break
        size = max(smallest, size - _STEP)
    room = len(lines)
    while room > 1 and (not lines[room - 1] or _height(lines[:room], size, STORY_LEADING) > height_mm):
        room -= 1
    return Setting(tuple(shortened(lines, room, font, size, width)), font, size, STORY_LEADING, True)


def shortened(lines: list[str], room: int, font: str, size: float, width: float) -> list[str]:
    """The first lines, the last of them ended at a word with an ellipsis; width in points."""
    last = lines[room - 1]
    while width_of(last + ELLIPSIS, font, size) > width:
        head, space, _ = last.rpartition(" ")
        # A script without spaces ends at a letter.
        last = head if space else last[:-1]
    return [*lines[: room - 1], last.rstrip(" ,;:.") + ELLIPSIS]


def draw_setting(
    page: PdfPage, left: float, top: float, setting: Setting, width_mm: float, grey: float = INK
) -> float:
    """Draw it; the mm where it ends. Lines that run from the right end at the right edge."""
    pitch = setting.size * setting.leading / POINTS_PER_MM
    at = top
    for line in setting.lines:
        if not line:
            at += pitch * _PARAGRAPH_GAP
            continue
        x = left
        if runs_from_right(line):
            x += width_mm - width_of(line, setting.font, setting.size) / POINTS_PER_MM
        page.text(x, at + setting.size * 0.86 / POINTS_PER_MM, line, setting.font, setting.size, grey)
        at += pitch
    return at


def _height(lines: list[str] | tuple[str, ...], size: float, leading: float) -> float:
    pitch = size * leading / POINTS_PER_MM
    return sum(pitch if line else pitch * _PARAGRAPH_GAP for line in lines)
