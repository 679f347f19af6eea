"""All spellings of the marks at once: how likely a reading is for each.

Most are ruled out by the letters they share with the reading; the others are aligned in alphabetical order,
so that like beginnings are worked out once.
"""

from collections.abc import Iterable
from functools import lru_cache

from .constants import LETTER_LOST, LETTER_RIGHT, LETTER_WRONG, TURNED
from .letters import GAP, Pattern, Place, end_lost, first_row, next_row, place_of, plain_row, too_long, turned

NEGLIGIBLE = 1e-9  # of the best: such a reading leaves no trace in any answer
FAR_FETCHED = 1e-3
PROBES = 4
LONG = 5


class Spellings:
    """The distinct letter strings of a table, in order, so that neighbours begin alike."""

    def __init__(self, letters: Iterable[str]) -> None:
        self.strings = sorted(set(letters))
        self._bits: dict[str, int] = {}
        self._masks = [self._mask(string) for string in self.strings]
        self._lengths = [len(string) for string in self.strings]
        self._longest = max(self._lengths, default=0)
        self.chances = lru_cache(maxsize=512)(self._chances)

    def _mask(self, letters: Iterable[str]) -> int:
        """The letters as bits, one for each letter that occurs in the table."""
        mask = 0
        for letter in letters:
            mask |= 1 << self._bits.setdefault(letter, len(self._bits))
        return mask

    def _chances(self, reading: Pattern) -> dict[str, float]:
        """Spelling → chance of this reading at its best alignment, also turned over at a price."""
        limits = self._limits(reading)
        places = [place_of(token) for token in reading]
        probes = sorted(range(len(limits)), key=limits.__getitem__, reverse=True)[:PROBES]
        found = self._aligned(reading, places, sorted(probes))
        top = max(found.values(), default=0.0)
        worth = [n for n, limit in enumerate(limits) if limit >= NEGLIGIBLE * top]
        if len(reading) >= LONG:
            worth = self._in_order(reading, worth, limits, NEGLIGIBLE * top)
        best = dict(zip(self.strings, limits, strict=True))  # what is ruled out keeps its upper limit
        best.update(self._aligned(reading, places, worth))
        for other in turned(reading):
            # turned over and badly worn at once is too far-fetched to be worth the time
            upper = self._limits(other)
            short = [
                n
                for n, limit in enumerate(upper)
                if limit * TURNED >= FAR_FETCHED * top and self._lengths[n] <= len(reading)
            ]
            for string, value in self._aligned(other, [place_of(token) for token in other], short).items():
                best[string] = max(best[string], value * TURNED)
        return best

    def _limits(self, reading: Pattern) -> list[float]:
        """An upper limit of each spelling's chance: what it shares no letter with was added or is wrong."""
        if any(GAP in token for token in reading):
            return [1.0] * len(self.strings)
        masks = []
        for token in reading:
            place = place_of(token)
            masks.append(self._mask(c for c in self._bits if place[c] > 2 * LETTER_WRONG))
        unread = any("?" in token for token in reading)
        tables = _limit_table(len(reading), self._longest, end_lost(reading), 1.0 if unread else LETTER_RIGHT)
        out = []
        for mask, length in zip(self._masks, self._lengths, strict=True):
            common = 0
            for place_mask in masks:
                if place_mask & mask:
                    common += 1
            out.append(tables[common][length])
        return out

    def _in_order(self, reading: Pattern, numbers: list[int], limits: list[float], least: float) -> list[int]:
        """Those of the numbered spellings that can still reach ``least`` by the letters they share in order.

        The longest common subsequence, a bit for each place of the reading (Hyyrö 2004), sharpens the limits.
        """
        if any(GAP in token for token in reading):
            return numbers
        size = len(reading)
        places = [place_of(token) for token in reading]
        fits = {c: sum(1 << n for n, p in enumerate(places) if p[c] > 2 * LETTER_WRONG) for c in self._bits}
        right = 1.0 if any("?" in token for token in reading) else LETTER_RIGHT
        tables = _limit_table(size, self._longest, end_lost(reading), right)
        out = []
        for n in numbers:
            row = (1 << size) - 1
            for letter in self.strings[n]:
                hit = row & fits[letter]
                row = (row + hit) | (row - hit)
            common = size - (row & ((1 << size) - 1)).bit_count()
            limits[n] = min(limits[n], tables[common][self._lengths[n]])
            if limits[n] >= least:
                out.append(n)
        return out

    def _aligned(self, reading: Pattern, places: list[Place], numbers: list[int]) -> dict[str, float]:
        """The chances of the numbered spellings (in rising order); rows of like beginnings are kept."""
        out = {}
        end = end_lost(reading)
        gaps = any(place.gap for place in places)
        columns: dict[str, list[float]] = {}  # letter of the mark → its chances at each place
        longer = [too_long(reading, length) for length in range(self._longest + 1)]
        rows = [first_row(places)]
        cut = [0.0]  # the best chance where the end of the mark wore off after so many letters
        before = ""
        for n in numbers:
            string = self.strings[n]
            alike = 0
            for a, b in zip(before, string, strict=False):
                if a != b:
                    break
                alike += 1
            del rows[alike + 1 :]
            if end:
                del cut[alike + 1 :]
            for letter in string[alike:]:
                row = rows[-1]
                if end:
                    cut.append(max(cut[-1], row[-1] * end))
                if gaps:
                    rows.append(next_row(places, row, letter, end))
                    continue
                if letter not in columns:
                    columns[letter] = [place[letter] for place in places]
                rows.append(plain_row(columns[letter], row, end))
            value = rows[-1][-1]
            out[string] = (value if value > cut[-1] else cut[-1]) * longer[len(string)]
            before = string
        return out


@lru_cache(maxsize=256)
def _limit_table(size: int, longest: int, end: float, right: float) -> list[list[float]]:
    """Upper limits by the number of places that fit a letter of the mark, and the mark's length.

    Places that fit none were added, or stand for a letter they do not resemble; the mark's other letters are
    lost, each on its own or a whole end at once.
    """
    table = []
    for common in range(size + 1):
        added = size - common
        row = []
        for length in range(longest + 1):
            lost = max(0, length - common)
            row.append(
                right**common
                * max(
                    LETTER_WRONG**swapped
                    * LETTER_LOST ** (added - swapped)
                    * (max(LETTER_LOST ** (lost - swapped), end) if lost > swapped else 1.0)
                    for swapped in range(min(added, lost) + 1)
                )
            )
        table.append(row)
    return table
