"""Best alignments of a reading with all strings at once: a weighted longest common subsequence in lanes.

Every place and every letter that stay apart cost one ``LETTER_LOST`` each; a place that stands for a letter
gains what its chance is above those two. So the best alignment is the common subsequence of the highest gain.
Row by row and column by column (Wagner and Fischer 1974), but a cell holds the sums of all strings side by
side in one integer (SIMD within a register): logarithms as whole numbers, 64 bits a lane.
"""

import struct
from bisect import bisect_left
from collections.abc import Sequence
from math import exp, log

from .constants import LETTER_LOST
from .edit_distance import GAP_TOKEN, Pattern, Token, added_besides, bare, place_of, read_places

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
