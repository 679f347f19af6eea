"""A line of text in the order in which it is seen: right-to-left scripts, Arabic words kept whole.

The bidirectional algorithm (Unicode UAX 9) is python-bidi's. It gives the line as a string alone, in which
the letters of an Arabic word stand apart; a word is joined from its letters as they are written (HarfBuzz),
so each stands as one letter of its kind while the line is put in order.
"""

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby
from typing import Final, NamedTuple

from bidi import get_base_level, get_display

RIGHT_TO_LEFT: Final = frozenset({"R", "AL", "AN"})
# One for each Arabic word of a line; one of more words, which no label has room for, is left unjoined.
_STAND_INS: Final = tuple(
    char
    for char in map(chr, range(0x620, 0x6D4))
    if unicodedata.bidirectional(char) == "AL" and unicodedata.category(char) == "Lo"
)
# python-bidi leaves brackets as they are written; in a line that runs from the right they are turned.
_TURNED: Final = str.maketrans("()[]{}<>«»", ")(][}{><»«")


LEFT_MARK: Final = "\u200e"
RIGHT_MARK: Final = "\u200f"
_MARKS: Final = dict.fromkeys(map(ord, LEFT_MARK + RIGHT_MARK))
_HALVES: Final = re.compile("[\ud800-\udfff]")


class SeenPart(NamedTuple):
    """A part of a line; of a `joined` one the letters are in the order of writing."""

    text: str
    joined: bool


def in_visual_order(line: str) -> list[SeenPart]:
    """The line from left to right as it is seen."""
    if not any(unicodedata.bidirectional(char) in RIGHT_TO_LEFT for char in line):
        return [SeenPart(line, False)] if line else []
    return list(_ordered(_whole_letters(line)))


def runs_from_right(line: str) -> bool:
    """Whether a line begins at the right: its first letter of a direction is of a right-to-left script."""
    return not line.isascii() and get_base_level(_whole_letters(line)) == 1


def as_in(paragraph: str, line: str) -> str:
    """A line as part of its paragraph, which says alone where all its lines begin (UAX 9, P2 and P3).

    Where the first letters of the line would say otherwise, an invisible mark of the direction leads it.
    """
    from_right = runs_from_right(paragraph)
    if runs_from_right(line) == from_right:
        return line
    return f"{RIGHT_MARK if from_right else LEFT_MARK}{line}"


def without_marks(line: str) -> str:
    """The line without marks of its direction, which are never drawn."""
    return line.translate(_MARKS)


def _whole_letters(line: str) -> str:
    """Half of a pair of surrogates, which no letter is, as a sign that no font has."""
    return _HALVES.sub("\ufffe", line)


@lru_cache(maxsize=1024)
def _ordered(line: str) -> tuple[SeenPart, ...]:
    parts = [
        (arabic, "".join(char for char, _ in letters))
        for arabic, letters in groupby(_marked(line), key=lambda pair: pair[1])
    ]
    arabic_words = [part for arabic, part in parts if arabic]
    if len(arabic_words) > len(_STAND_INS):
        return (SeenPart(without_marks(str(get_display(line))), False),)
    words = dict(zip(_STAND_INS, arabic_words, strict=False))
    stand_ins = iter(words)
    plain = "".join(next(stand_ins) if arabic else part for arabic, part in parts)
    seen = get_display(plain)
    if runs_from_right(plain):
        seen = str(seen).translate(_TURNED)
    seen = without_marks(str(seen))
    return tuple(
        SeenPart(words[word], True) if word else SeenPart("".join(chars), False)
        for word, chars in groupby(str(seen), key=lambda char: char if char in words else "")
    )


def _marked(line: str) -> Iterator[tuple[str, bool]]:
    """Each character, and whether it is part of an Arabic word: its letters, and the marks on them."""
    arabic = False
    for char in line:
        kind = unicodedata.bidirectional(char)
        arabic = kind == "AL" and unicodedata.category(char) in ("Lo", "Lm") or arabic and kind == "NSM"
        yield char, arabic
