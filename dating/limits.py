"""Branch and bound: upper limits of a reading's chance, so that most strings need no alignment."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from .constants import LETTER_LOST, LETTER_RIGHT, LETTER_WRONG
from .edit_distance import GAP, Pattern, end_lost, place_of


def limits_of(reading: Pattern, strings: Iterable[str]) -> list[float]:
    """No string's chance is above its limit: a place that fits no letter of it was added or is wrong."""
    if any(GAP in token for token in reading):
        return _limits_beside_gaps(reading, strings)
    size = len(reading)
    right = 1.0 if any("?" in token for token in reading) else LETTER_RIGHT
    end = end_lost(reading)
    fits = _Fits(reading)
    known: dict[tuple[int, int], float] = {}
    out = []
    for string in strings:
        bits = 0
        for letter in string:
            bits |= fits[letter]
        key = bits.bit_count(), len(string)
        limit = known.get(key)
        if limit is None:
            common, length = key
            limit = known[key] = limit_for(size - common, common, length, end, right)
        out.append(limit)
    return out


def _limits_beside_gaps(reading: Pattern, strings: Iterable[str]) -> list[float]:
    """A gap swallows all else for nothing, but no letter of it makes good a place that fits none."""
    solid = tuple(token for token in reading if GAP not in token)
    fits = _Fits(solid)
    by_misses = [LETTER_LOST**misses for misses in range(len(solid) + 1)]
    out = []
    for string in strings:
        bits = 0
        for letter in string:
            bits |= fits[letter]
        out.append(by_misses[len(solid) - bits.bit_count()])
    return out


def within_reach(reading: Pattern, needed: Mapping[str, float], longer: Sequence[float]) -> list[str]:
    """The strings that can still reach what is needed of each by the letters they share in order.

    The longest common subsequence, a bit for each place of the reading (Hyyrö 2004), sharpens the limits;
    ``longer`` is what added letters cost besides, by the length of a string.
    """
    if any(GAP in token for token in reading):
        return list(needed)
    size = len(reading)
    right = 1.0 if any("?" in token for token in reading) else LETTER_RIGHT
    end = end_lost(reading)
    fits = _Fits(reading)
    every = (1 << size) - 1
    out = []
    for string, least in needed.items():
        row = every
        for letter in string:
            hit = row & fits[letter]
            row = (row + hit) | (row - hit)
        common = size - (row & every).bit_count()
        length = len(string)
        if limit_for(size - common, common, length, end, right) * longer[length] >= least:
            out.append(string)
    return out


class _Fits(dict[str, int]):
    """Letter → a bit for each place of the reading that it may well have been read as."""

    def __init__(self, reading: Pattern) -> None:
        super().__init__()
        self._places = [place_of(token) for token in reading]

    def __missing__(self, letter: str) -> int:
        bits = self[letter] = sum(1 << n for n, p in enumerate(self._places) if p[letter] > 2 * LETTER_WRONG)
        return bits


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=4096)
def limit_for(added: int, common: int, length: int, end: float, right: float) -> float:
    """The limit for so many places that fit no letter of the mark, so many that do, and the mark's length.

    Places that fit none were added, or stand for a letter they do not resemble; the mark's other letters are
    lost, each on its own or a whole end at once.
    """
    lost = max(0, length - common)
    return float(
        right**common
        * max(
            LETTER_WRONG**swapped
            * LETTER_LOST ** (added - swapped)
            * (max(LETTER_LOST ** (lost - swapped), end) if lost > swapped else 1.0)
            for swapped in range(min(added, lost) + 1)
        )
    )
