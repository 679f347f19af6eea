"""Weighted edit distance: how likely a reading of worn letters is for a mark, at its best alignment.

A reading is a pattern of places: read, unread, doubtful or lost. Letters seen right, taken for another (more
likely one that resembles it), lost or added, as a product of chances by dynamic programming (Wagner and
Fischer 1974); a whole end may be worn off at once. Upper bounds, by common letters and by the longest common
subsequence, rule most marks out before they are aligned. The chances are our own (see the constants); the
groups of look-alikes are common practice, no source.
"""

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from itertools import accumulate

from .constants import (
    CONFUSED_WHEN_WORN,
    END_LOST,
    LETTER_LOST,
    LETTER_RIGHT,
    LETTER_WORN,
    LETTER_WRONG,
    UNTABLED_LETTERS,
)

ANY = "?"
GAP = "*"
LONGEST_READING = 80
END_FROM = 4  # places; shorter readings are too poor for a whole lost end
Token = frozenset[str]  # what may stand at one place; {"?"} unread, {"*"} an unknown number of letters
Pattern = tuple[Token, ...]
UNREAD_TOKEN = frozenset({ANY})
GAP_TOKEN = frozenset({GAP})
_PIECES = re.compile(r"\[([^\]]*)\]|\.{2,}|…|\*|[^\W_]|\?")


def plain(text: str) -> str:
    """Letters and digits alone, in capitals and without accents: ``T. & H. Co.`` → ``THCO``."""
    bare = unicodedata.normalize("NFKD", text.replace("ß", "ss")).upper()
    return "".join(c for c in bare if c.isalnum())


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=8192)
def pattern(text: str) -> Pattern:
    """The places of a reading: ``?`` unread, ``[HN]`` either, ``[H?]`` doubtful, ``..`` some lost."""
    places: list[Token] = []
    for piece in _PIECES.finditer(unicodedata.normalize("NFKD", text.replace("ß", "ss"))):
        whole, inside = piece.group(0), piece.group(1)
        if inside is not None:
            letters = frozenset(plain(inside)) | (UNREAD_TOKEN if ANY in inside else frozenset())
            whole_gap = not letters or set(inside) <= set(".… ")
            places.append(GAP_TOKEN if whole_gap else letters)
        elif whole == ANY:
            places.append(UNREAD_TOKEN)
        elif whole[0] in ".…*":
            places.append(GAP_TOKEN)
        else:
            places.extend(frozenset(c) for c in plain(whole))
    return tuple(places)


def at_random(reading: Pattern) -> float:
    """The chance that an inscription in no table reads so: 1/26 a letter read, of the first few."""
    chance = 1.0
    for place in reading:
        if place != GAP_TOKEN:
            chance *= sum(1.0 if read == ANY else 1 / 26 for read in place) / len(place)
    return max(chance, 26.0**-UNTABLED_LETTERS)


def turned(reading: Pattern) -> tuple[Pattern, ...]:
    """The same reading seen upside down, and seen from behind, where that differs."""
    behind = tuple(reversed(reading))
    below = tuple(frozenset(_UPSIDE_DOWN.get(c, c) for c in place) for place in behind)
    return tuple(other for other in dict.fromkeys((below, behind)) if other != reading)


_UPSIDE_DOWN = {"M": "W", "W": "M", "6": "9", "9": "6", "A": "V", "V": "A", "L": "7", "7": "L"}


def _look_alikes() -> dict[str, frozenset[str]]:
    alike: dict[str, set[str]] = {}
    for group in CONFUSED_WHEN_WORN:
        for letter in group:
            alike.setdefault(letter, set()).update(group)
    return {letter: frozenset(others - {letter}) for letter, others in alike.items()}


ALIKE = _look_alikes()


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=65536)
def seen(place: Token, letter: str) -> float:
    """The chance that ``place`` was read where the mark has ``letter``; an unread place says nothing (1)."""
    return sum(_seen_as(read, letter) for read in place) / len(place)


def _seen_as(read: str, letter: str) -> float:
    if read == ANY:
        return 1.0
    if read == letter:
        return LETTER_RIGHT
    return LETTER_WORN if read in ALIKE.get(letter, ()) else LETTER_WRONG


class PlaceChances(dict[str, float]):
    """One place of a reading: letter of the mark → chance that it was read so, worked out when asked."""

    def __init__(self, token: Token) -> None:
        super().__init__()
        self._token = token
        self.gap = token == GAP_TOKEN

    def __missing__(self, letter: str) -> float:
        value = self[letter] = seen(self._token, letter)
        return value


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
place_of = lru_cache(maxsize=4096)(PlaceChances)


def end_lost(reading: Pattern) -> float:
    """The least chance that a whole end wore off."""
    return END_LOST if len(reading) >= END_FROM else 0.0


def bare(reading: Pattern) -> tuple[Pattern, float, float]:
    """The reading without gaps at its ends, and the least chances that the mark's beginning and end wore off.

    A gap at an end is an end that was lost for nothing.
    """
    solid = [n for n, place in enumerate(reading) if place != GAP_TOKEN] or [0]
    between = reading[solid[0] : solid[-1] + 1]
    end = end_lost(reading)
    before = 1.0 if reading[:1] == (GAP_TOKEN,) else end
    return between, before, 1.0 if reading[-1:] == (GAP_TOKEN,) else end


class Alignment:
    """The best alignment of a reading with any string, by dynamic programming from place to place."""

    def __init__(self, reading: Pattern, longest: int) -> None:
        between, before, self._after = bare(reading)
        self._places = [place_of(token) for token in between]
        self._read = read_places(reading)
        self._lost = [1.0, *(max(LETTER_LOST**lost, before) for lost in range(1, longest + 1))]

    def chance(self, letters: str) -> float:
        """The chance of the reading for a mark of these letters, no more than the longest.

        A row holds for every beginning of the mark the best chance that the places so far came from it.
        """
        row = self._lost[: len(letters) + 1]
        for place in self._places:
            if place.gap:
                row = list(accumulate(row, max))  # it swallows any number of letters
                continue
            row = next_row(map(place.__getitem__, letters), row)
        best = max(row) * self._after
        return (best if best > row[-1] else row[-1]) * added_besides(self._read, len(letters))


def next_row(chances: Iterable[float], row: list[float]) -> list[float]:
    """One step of the best alignment: one more place, with its chance for each letter of the mark.

    The innermost loop of dating, so it is written for speed.
    """
    before = iter(row)
    diagonal = next(before)
    left = diagonal * LETTER_LOST
    out = [left]
    for chance_here, up in zip(chances, before, strict=False):
        here = diagonal * chance_here
        if up > left:
            left = up
        left *= LETTER_LOST
        if here > left:
            left = here
        out.append(left)
        diagonal = up
    return out


def read_places(reading: Pattern) -> int:
    """How many places were read, in whole or in doubt."""
    return sum(place not in (UNREAD_TOKEN, GAP_TOKEN) for place in reading)


def added_besides(read: int, length: int) -> float:
    """What each added letter beyond the first costs besides: that it was this one of 26.

    ``read`` places were read of a mark of ``length`` letters.
    """
    return 1.0 if read <= length + 1 else float(26.0 ** (length + 1 - read))


def chance(reading: Pattern, letters: str) -> float:
    """The chance of the reading for a mark of these letters, at the best alignment."""
    return Alignment(reading, len(letters)).chance(letters)


def any_order(reading: Pattern, letters: str) -> float:
    """The chance where letters are joined into one figure, whose order no one can tell."""
    left = list(letters)
    value = 1.0
    for place in sorted(reading, key=lambda token: ANY in token):
        best = max(left, key=lambda letter: seen(place, letter), default=None)
        if best is None or seen(place, best) < LETTER_LOST**2:
            value *= LETTER_LOST
        else:
            value *= seen(place, best)
            left.remove(best)
    return float(value * LETTER_LOST ** len(left))
