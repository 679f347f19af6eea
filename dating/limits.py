"""Bit-parallel upper limits: of a reading's chance for every string at once, so that few need an alignment.

The longest common subsequence of the reading with each string (Hyyrö 2004), all in one integer: a lane of
bits for each string, a bit for each of its letters.
"""

import struct
from collections.abc import Sequence
from functools import lru_cache

from .constants import LETTER_LOST, LETTER_RIGHT, LETTER_WORN, LETTER_WRONG
from .edit_distance import ANY, GAP_TOKEN, UNREAD_TOKEN, Pattern, Token, added_besides, bare, place_of

NARROW, NARROW_FIELD, WIDE_FIELD = 32, 5, 12  # bits of a lane, and of each of five numbers in its word
TOKENS_KEPT = 4096
ENDS_TELL_BELOW = 8  # below so many places the ends of a string tell more than they cost
ROUNDED = 1 + 1e-9


class Lanes:
    """The strings side by side in one integer, which never change."""

    def __init__(self, strings: Sequence[str]) -> None:
        longest = max(map(len, strings), default=0)
        self._width = NARROW
        while self._width <= longest:  # a lane has a bit to spare, for what is carried over
            self._width *= 2
        self._field = NARROW_FIELD if self._width == NARROW else WIDE_FIELD
        self._word = "I" if self._width == NARROW else f"Q{self._width // 8 - 8}x"
        self._sizes = [len(string) for string in strings]
        self._every = self._of([(1 << size) - 1 for size in self._sizes])
        self._lengths = self._of([size << 4 * self._field for size in self._sizes])
        self._letters: dict[str, int] = {}
        for start, string in enumerate(strings):
            for place, letter in enumerate(string, start * self._width):
                self._letters[letter] = self._letters.get(letter, 0) | 1 << place
        doubling = [1 << n for n in range(self._width.bit_length() - 1)]
        self._halves = [
            (shift, self._of([_every_other(shift, self._width)] * len(strings))) for shift in doubling
        ]
        self._ends = [
            (
                self._of([(1 << min(places, size)) - 1 for size in self._sizes]),
                self._of([(1 << size) - (1 << max(0, size - places)) for size in self._sizes]),
            )
            for places in range(ENDS_TELL_BELOW)
        ]
        # by the token alone, and these strings never change: nothing invalidates it
        self._fitting: dict[tuple[Token, float], int] = {}

    def _of(self, numbers: list[int]) -> int:
        """A number in each lane."""
        parts = [number.to_bytes(self._width // 8, "little") for number in numbers]
        return int.from_bytes(b"".join(parts), "little")

    def limits(self, reading: Pattern, number: int) -> list[float]:
        """For each of the first strings, so many: the chance of the reading is not above this.

        A place may fit letters well, or as worn; what fits no letter in order was added or is wrong.
        """
        solid = [token for token in reading if token != GAP_TOKEN]
        lanes = self._first(number)
        every = self._every & lanes
        fitting = self._common(solid, LETTER_WRONG * ROUNDED, every)
        first = last = fitting
        if len(solid) < ENDS_TELL_BELOW:
            ends = self._ends[len(solid)]
            first, last = (self._common(solid, LETTER_WRONG * ROUNDED, bits & lanes) for bits in ends)
        keys = self._common(solid, LETTER_WORN, every) | self._lengths & lanes
        for place, counted in enumerate((fitting, first, last), 1):
            keys |= counted << place * self._field
        between, before, after = bare(reading)
        found = _limits(
            len(solid),
            sum(token != UNREAD_TOKEN for token in solid),
            any(ANY in token for token in solid),
            (before, after),
            len(between) > len(solid),
            self._field,
        )
        return list(map(found.__getitem__, self._unpacked(keys, number)))

    def highest(self, reading: Pattern, number: int) -> float:
        """No limit is above this, which is sooner known than each."""
        solid = [token for token in reading if token != GAP_TOKEN]
        within = self._every & self._first(number)
        common = self._unpacked(self._common(solid, LETTER_WRONG * ROUNDED, within), number)
        return float(LETTER_LOST ** (len(solid) - max(common, default=0)))

    def _first(self, number: int) -> int:
        """The bits of so many lanes."""
        return (1 << number * self._width) - 1

    def _unpacked(self, lanes: int, number: int) -> tuple[int, ...]:
        """The number in each of so many lanes."""
        return struct.unpack("<" + self._word * number, lanes.to_bytes(self._width // 8 * number, "little"))

    def _common(self, tokens: Sequence[Token], above: float, within: int) -> int:
        """In each lane the length of the longest common subsequence, of letters seen likelier than that."""
        row = within
        for token in tokens:
            hit = row & self._fits(token, above)
            row = (row + hit | row - hit) & within
        bits = within ^ row
        for shift, mask in self._halves:  # count them: neighbours added up by twos, fours …
            bits = (bits & mask) + (bits >> shift & mask)
        return bits

    def _fits(self, token: Token, above: float) -> int:
        """Every letter that was likelier than ``above`` read as this."""
        found = self._fitting.get((token, above))
        if found is None:
            place = place_of(token)
            found = 0
            for letter, bits in self._letters.items():
                if place[letter] > above:
                    found |= bits
            if len(self._fitting) >= TOKENS_KEPT:
                self._fitting.clear()
            self._fitting[token, above] = found
        return found


def _every_other(shift: int, width: int) -> int:
    """So many bits set, as many not, over the width."""
    return int("".join("0" * shift + "1" * shift for _ in range(width // shift // 2)), 2)


class _Limits(dict[int, float]):
    """A lane's numbers → limit, for readings of one kind; worked out when asked.

    The numbers are the letters in common that were seen right, those that fit, those that fit at the start
    and at the end of the string, and its length. Of ``places`` so many were ``read``; ``lost`` is the least
    chance that the beginning of a mark, or its end, was lost.
    """

    def __init__(
        self, places: int, read: int, unread: bool, lost: tuple[float, float], gaps: bool, field: int
    ) -> None:
        super().__init__()
        self._places, self._read, self._lost, self._gaps, self._field = places, read, lost, gaps, field
        self._best = 1.0 if unread else LETTER_RIGHT

    def __missing__(self, lane: int) -> float:
        mask = (1 << self._field) - 1
        right, fitting, first, last, length = (lane >> n * self._field & mask for n in range(5))
        if self._gaps:  # a gap in between swallows all else for nothing
            value = self._fit(right, fitting) * LETTER_LOST ** (self._places - fitting)
        else:
            before, after = self._lost
            value = max(
                self._fit(right, first) * rest(self._places - first, length - first, (after,)),
                self._fit(right, last) * rest(self._places - last, length - last, (before,)),
                self._fit(right, fitting) * rest(self._places - fitting, length - fitting, (before, after)),
            )
        value = self[lane] = value * added_besides(self._read, length)
        return value

    def _fit(self, right: int, fitting: int) -> float:
        right = min(right, fitting)
        return float(self._best**right * LETTER_WORN ** (fitting - right))


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
_limits = lru_cache(maxsize=1024)(_Limits)


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=16_384)
def rest(added: int, lost: int, ends: tuple[float, ...]) -> float:
    """The limit for so many places that fit no letter of the mark and so many of its letters that fit none.

    Such a place was added, or stands for a letter that it does not resemble; the other letters are lost, each
    on its own or with a whole end: ``ends`` are the least chances of that, of one end alone, or of both where
    the letters are not all from one.
    """
    return float(
        max(
            LETTER_WRONG**swapped * LETTER_LOST ** (added - swapped) * _lost(lost - swapped, ends)
            for swapped in range(max(0, min(added, lost)) + 1)
        )
    )


def _lost(letters: int, ends: tuple[float, ...]) -> float:
    """The limit for so many letters lost."""
    if letters <= 0:
        return 1.0
    if len(ends) == 1:
        return max(LETTER_LOST**letters, *ends)
    before, after = ends
    # convex in how they are split, so all but one lie at one end, and that one at the other end or inside
    many = LETTER_LOST ** (letters - 1)
    inside = LETTER_LOST * max(before, after, many)
    if letters == 1:
        return inside
    first, last = max(before, LETTER_LOST), max(after, LETTER_LOST)
    return max(inside, first * max(after, many), max(before, many) * last)
