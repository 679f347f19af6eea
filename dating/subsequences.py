"""Upper limits of a reading's chance for all strings at once, so that few of a long reading are aligned.

From the longest common subsequence of the reading with each string, bit-parallel (Hyyrö 2004): all in one
integer, a lane of bits for each string, a bit for each of its letters.
"""

import struct
from collections.abc import Sequence
from functools import lru_cache

from .constants import LETTER_LOST, LETTER_WRONG
from .edit_distance import GAP_TOKEN, Pattern, Token, added_besides, end_lost, place_of, read_places

NARROW = 32  # bits of a lane, doubled where a string needs more
FITS_KEPT = 1024
ROUNDED = 1 + 1e-9


class Subsequences:
    """The strings side by side in one integer, which never change."""

    def __init__(self, strings: Sequence[str]) -> None:
        self._sizes = list(map(len, strings))
        self._width = NARROW
        while self._width <= max(self._sizes, default=0):  # a bit to spare, for what is carried over
            self._width *= 2
        self._word = "I" if self._width == NARROW else f"Q{self._width // 8 - 8}x"
        self._every = self._of([(1 << size) - 1 for size in self._sizes])
        self._letters: dict[str, int] = {}
        for start, string in enumerate(strings):
            for place, letter in enumerate(string, start * self._width):
                self._letters[letter] = self._letters.get(letter, 0) | 1 << place
        doubling = [1 << n for n in range(self._width.bit_length() - 1)]
        self._halves = [
            (shift, self._of([_every_other(shift, self._width)] * len(strings))) for shift in doubling
        ]
        # by the token alone, and these strings never change: nothing invalidates it
        self._fitting: dict[Token, int] = {}

    def _of(self, numbers: list[int]) -> int:
        """A number in each lane."""
        parts = [number.to_bytes(self._width // 8, "little") for number in numbers]
        return int.from_bytes(b"".join(parts), "little")

    def limits(self, reading: Pattern) -> list[float]:
        """For each of the strings: the chance of the reading is not above this."""
        limits = limits_of(reading)
        return [limits[pair] for pair in zip(self._sizes, self.common(reading), strict=True)]

    def common(self, reading: Pattern) -> tuple[int, ...]:
        """For each string how many places of the reading at most fit letters of it, in their order."""
        row = self._every
        for token in reading:
            if token != GAP_TOKEN:
                hit = row & self._fits(token)
                row = (row + hit | row - hit) & self._every
        bits = self._every ^ row
        for shift, mask in self._halves:  # count them: neighbours added up by twos, fours …
            bits = (bits & mask) + (bits >> shift & mask)
        data = bits.to_bytes(self._width // 8 * len(self._sizes), "little")
        return struct.unpack("<" + self._word * len(self._sizes), data)

    def _fits(self, token: Token) -> int:
        """Every letter that is more likely to be read as this than any that it does not resemble."""
        found = self._fitting.get(token)
        if found is None:
            place = place_of(token)
            found = 0
            for letter, bits in self._letters.items():
                if place[letter] > LETTER_WRONG * ROUNDED:
                    found |= bits
            if len(self._fitting) >= FITS_KEPT:
                self._fitting.clear()
            self._fitting[token] = found
        return found


class Limits(dict[tuple[int, int], float]):
    """Length of a mark, and how many of its letters at most fit places of a reading → limit of its chance."""

    def __init__(self, solid: int, read: int, at_once: float) -> None:
        super().__init__()
        self.solid, self._read, self._at_once = solid, read, at_once

    def __missing__(self, pair: tuple[int, int]) -> float:
        """A place that fits none was added, or stands for a letter that it does not resemble; the other
        letters were lost one by one, at an end or into a gap.
        """
        size, common = pair
        places, letters = self.solid - common, size - common
        rest = max(
            LETTER_WRONG**swapped
            * LETTER_LOST ** (places - swapped)
            * max(LETTER_LOST ** (letters - swapped), self._at_once)
            for swapped in range(min(places, letters) + 1)
        )
        value = self[pair] = float(rest * added_besides(self._read, size))
        return value


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
_limits = lru_cache(maxsize=1024)(Limits)


def limits_of(reading: Pattern) -> Limits:
    """The limits of a reading, shared by all of its kind."""
    solid = sum(place != GAP_TOKEN for place in reading)
    return _limits(solid, read_places(reading), 1.0 if GAP_TOKEN in reading else end_lost(reading))


def _every_other(shift: int, width: int) -> int:
    """So many bits set, as many not, over the width."""
    return int("".join("0" * shift + "1" * shift for _ in range(width // shift // 2)), 2)
