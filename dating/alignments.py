"""Approximate string matching of a reading against all strings at once, side by side in one integer.

Best alignments: a weighted longest common subsequence in lanes. Every place and every letter that stay apart
cost one ``LETTER_LOST`` each; a place that stands for a letter gains what its chance is above those two. So
the best alignment is the common subsequence of the highest gain. Row by row and column by column (Wagner and
Fischer 1974), but a cell holds the sums of all strings side by side in one integer (SIMD within a register):
logarithms as whole numbers, 64 bits a lane.

Upper limits of a reading's chance, so that few of a long reading are aligned: from the longest common
subsequence of the reading with each string, bit-parallel (Hyyrö 2004): a lane of bits for each string, a bit
for each of its letters.
"""

import struct
from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from math import exp, log

from .constants import LETTER_LOST, LETTER_WRONG
from .edit_distance import GAP_TOKEN, Pattern, Token, added_besides, bare, end_lost, place_of, read_places

LANE, LANE_TOP = 64, 63  # bits of a lane; its top bit stays free, for what is carried over
UNIT = 2.0**-46  # of a logarithm: 80 letters stay far below the top bit, and are rounded by less than 10⁻¹²
LOST = round(-log(LETTER_LOST) / UNIT)
GAINS_KEPT = 256


class Alignments:
    """The strings, short ones first, which never change; a column holds those that are long enough for it."""

    def __init__(self, strings: Sequence[str]) -> None:
        sizes = list(map(len, strings))
        self.longest = max(sizes, default=0)
        self.starts = [bisect_left(sizes, size) for size in range(self.longest + 2)]
        """By size: the number of the first string that is as long."""
        self._letters = [
            "".join([string[place] for string in strings[self.starts[place + 1] :]])
            for place in range(self.longest)
        ]
        self._every = [
            int.from_bytes(b"\1\0\0\0\0\0\0\0" * (len(strings) - start), "little")
            for start in self.starts[:-1]
        ]
        # by the token alone, and these strings never change: nothing invalidates it
        self._gains: dict[Token, list[int]] = {}

    def chances(self, reading: Pattern, shortest: int = 0, longest: int | None = None) -> list[float]:
        """The chance of the reading for each string of these sizes, in their order."""
        longest = self.longest if longest is None else min(longest, self.longest)
        between, before, after = bare(reading)
        columns = _Columns(self, shortest, longest)
        row = columns.begun(before)
        solid = 0
        for token in between:
            if token == GAP_TOKEN:
                columns.swallow(row)
            else:
                row = columns.next(row, self._gains_of(token))
                solid += 1
        if after > 0:
            columns.lose_ends(row, after)
        read = read_places(reading)
        found: list[float] = []
        for size in range(shortest, longest + 1):
            number = self.starts[size + 1] - self.starts[size]
            lanes = row[size] & ((1 << number * LANE) - 1)
            sums = struct.unpack(f"<{number}Q", lanes.to_bytes(number * LANE // 8, "little"))
            least, besides = -LOST * (solid + size), added_besides(read, size)
            found += [exp((total + least) * UNIT) * besides for total in sums]
        return found

    def ones(self, shortest: int, longest: int) -> list[int]:
        """By column: a one in each lane."""
        return [self._every[max(size, shortest)] for size in range(longest + 1)]

    def _gains_of(self, token: Token) -> list[int]:
        """By column: what each string gains where this place stands for its letter; with the top bits."""
        found = self._gains.get(token)
        if found is None:
            place = place_of(token)
            gain = {
                letter: (1 << LANE_TOP) + max(0, 2 * LOST + round(log(place[letter]) / UNIT))
                for letter in set("".join(self._letters))
            }
            found = [
                int.from_bytes(struct.pack(f"<{len(letters)}Q", *map(gain.__getitem__, letters)), "little")
                for letters in self._letters
            ]
            if len(self._gains) >= GAINS_KEPT:
                self._gains.clear()
            self._gains[token] = found
        return found


class _Columns:
    """The steps from row to row, for strings of some sizes; a row has a column for each number of letters."""

    def __init__(self, strings: Alignments, shortest: int, longest: int) -> None:
        starts = [strings.starts[max(size, shortest)] for size in range(longest + 1)]
        self._ones = strings.ones(shortest, longest)
        self._tops = [one << LANE_TOP for one in self._ones]
        # lanes that one column has before the next, and that the gains have before these columns
        self._shifts = [0, *((b - a) * LANE for a, b in zip(starts, starts[1:], strict=False))]
        self._before = [(a - b) * LANE for a, b in zip(starts[1:], strings.starts[1:], strict=False)]

    def begun(self, before: float) -> list[int]:
        """The first row: a beginning wears off letter by letter, or at once with such a chance at least."""
        price = round(-log(before) / UNIT) if before else None
        return [
            one * (0 if price is None else max(0, LOST * size - price)) for size, one in enumerate(self._ones)
        ]

    def next(self, row: list[int], gains: list[int]) -> list[int]:
        """One step: one more place, with its gain for each letter. The innermost loop, written for speed."""
        diagonal = row[0]
        left = diagonal
        out = [left]
        for up, gain, high, shift, skipped in zip(
            row[1:], gains, self._tops[1:], self._shifts[1:], self._before, strict=False
        ):
            if shift:
                left >>= shift
                diagonal >>= shift
            # the highest of three, lane by lane: where a difference is not below zero, it is added
            ahead = (up | high) - left
            sign = ahead & high
            left += ahead & (sign - (sign >> LANE_TOP))
            ahead = diagonal + (gain >> skipped if skipped else gain) - left
            sign = ahead & high
            left += ahead & (sign - (sign >> LANE_TOP))
            out.append(left)
            diagonal = up
        return out

    def swallow(self, row: list[int]) -> None:
        """A gap: any number of letters for nothing."""
        for size in range(1, len(row)):
            row[size] = self._higher(row[size], self._one_more(row[size - 1], size), size)

    def lose_ends(self, row: list[int], after: float) -> None:
        """The mark's end wore off as a whole, with such a chance at least, wherever that is likelier."""
        price = round(-log(after) / UNIT)
        best = row[0]
        for size in range(1, len(row)):
            best = self._higher(row[size], self._one_more(best, size), size)
            paid = price * self._ones[size]
            row[size] = self._higher(row[size] + paid, best, size) - paid

    def _one_more(self, lanes: int, size: int) -> int:
        """One more letter that costs nothing."""
        return (lanes >> self._shifts[size]) + LOST * self._ones[size]

    def _higher(self, a: int, b: int, size: int) -> int:
        high = self._tops[size]
        ahead = (b | high) - a
        sign = ahead & high
        return a + (ahead & (sign - (sign >> LANE_TOP)))


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
