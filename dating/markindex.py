"""Index for approximate string matching: a reading against all spellings at once, also turned over.

Those that cannot matter by an upper limit are left out (branch and bound): of a short reading by their
length alone, of others by the letters in common. What is left is aligned one by one where it is little, else
at once.
"""

from bisect import bisect_right
from collections.abc import Collection, Iterable, Mapping

from .alignments import Alignments, Subsequences, limits_of
from .codes import DateCode
from .constants import COMMONNESS, TABLED_SHARE, TURNED
from .edit_distance import Alignment, Pattern, turned
from .tables import Mark

ROUNDING = 1 - 1e-9
LENGTH_TELLS_BELOW = 7  # places; of longer readings the letters in common tell more than they cost
ALIGNED_ALONE = 24  # strings; so few are aligned one by one in less time than all at once


class Spellings:
    """The distinct letter strings of a table, short ones first."""

    def __init__(self, letters: Iterable[str]) -> None:
        self.strings = sorted(set(letters), key=lambda string: (len(string), string))
        self.number = {string: n for n, string in enumerate(self.strings)}
        self._sizes = list(map(len, self.strings))
        self._alignments = Alignments(self.strings)
        self._subsequences = Subsequences(self.strings)

    def chances(self, reading: Pattern, least: float = 0.0) -> list[float]:
        """For each of ``strings`` the chance of this reading at its best alignment, turned over at a price.

        What stays below ``least`` may be 0 instead.
        """
        found = [0.0] * len(self.strings)
        self._raise(found, reading, least, 1.0, len(self.strings))
        for other in turned(reading):  # of marks no longer than what was read
            self._raise(found, other, least, TURNED, bisect_right(self._sizes, len(reading)))
        return found

    def _raise(self, found: list[float], reading: Pattern, least: float, price: float, number: int) -> None:
        """Raise what was found to the chances of this reading at a price, of the first strings, so many."""
        least *= ROUNDING / price
        wanted = [n for n, limit in enumerate(self.limits(reading)[:number]) if limit >= least]
        if not wanted:
            return
        shortest, longest = self._sizes[wanted[0]], self._sizes[wanted[-1]]
        if len(wanted) < ALIGNED_ALONE:
            alignment = Alignment(reading, longest)
            values = [alignment.chance(self.strings[n]) for n in wanted]
        else:
            wanted = list(range(self._alignments.starts[shortest], self._alignments.starts[longest + 1]))
            values = self._alignments.chances(reading, shortest, longest)
        for n, value in zip(wanted, values, strict=True):
            if price * value > found[n]:
                found[n] = price * value

    def limits(self, reading: Pattern) -> list[float]:
        """For each of ``strings``: the chance of the reading, not turned over, is not above this."""
        if len(reading) >= LENGTH_TELLS_BELOW:
            return self._subsequences.limits(reading)
        limits, starts = limits_of(reading), self._alignments.starts
        out: list[float] = []
        for size, (start, stop) in enumerate(zip(starts, starts[1:], strict=False)):
            out += [limits[size, min(size, limits.solid)]] * (stop - start)
        return out


ONE_FIGURE = ("monogram", "interlaced")

Figure = tuple[str, str, str]  # symbol, frame, arrangement


class MarkList:
    """Columns by the number of a mark: its share before reading, its figure; and who is spelled alike."""

    def __init__(self, marks: Iterable[Mark], codes_of: Mapping[str, tuple[DateCode, ...]]) -> None:
        self.marks = list(marks)
        self.share = _shares(self.marks)
        self.coded = [any(code.kind != "other" for code in codes_of.get(m.id, ())) for m in self.marks]
        ranks = {name: rank for rank, name in enumerate(sorted(mark.id for mark in self.marks))}
        self.rank = [ranks[mark.id] for mark in self.marks]
        figures = [(mark.symbol, mark.frame, mark.arrangement) for mark in self.marks]
        self.figures: list[Figure] = list(dict.fromkeys(figures))
        number = {figure: n for n, figure in enumerate(self.figures)}
        self.figure = [number[figure] for figure in figures]
        self.spelled: dict[str, list[int]] = {}
        for n, mark in enumerate(self.marks):
            self.spelled.setdefault(mark.letters, []).append(n)
        self.one_figure = [n for n, mark in enumerate(self.marks) if mark.arrangement in ONE_FIGURE]
        self.ampersand = [n for n, mark in enumerate(self.marks) if mark.arrangement == "with-ampersand"]
        self.spellings = Spellings(self.spelled)
        self.spelling = [self.spellings.number[mark.letters] for mark in self.marks]
        """Of each mark the number of its spelling."""


def _shares(marks: Iterable[Mark]) -> list[float]:
    """The chance of each mark before reading: shared among makers, then among a maker's variants.

    A maker counts as its commonest mark does. What few bottles bear has its share on top of the whole, which
    is that of the others: growing the tables by rare marks takes nothing from common ones.
    """
    marks = list(marks)
    makers = [_maker(mark) for mark in marks]
    weights = [COMMONNESS[mark.common.commonness] for mark in marks]
    variants: dict[str, list[float]] = {}
    for maker, weight in zip(makers, weights, strict=True):
        variants.setdefault(maker, []).append(weight)
    counts = {maker: max(each) for maker, each in variants.items()}
    unit = TABLED_SHARE / (_but_rare(counts.values()) or 1.0)
    scale = {maker: unit * counts[maker] / _but_rare(each) for maker, each in variants.items()}
    return [scale[maker] * weight for maker, weight in zip(makers, weights, strict=True)]


def _but_rare(weights: Collection[float]) -> float:
    """The sum of the weights, of the rare ones only where there are no others."""
    return sum(weight for weight in weights if weight > COMMONNESS["few"]) or sum(weights)


def _maker(mark: Mark) -> str:
    """The maker as one hand; those not identified are as many as their marks."""
    unknown = mark.maker.lower().startswith(("unidentified", "not identified"))
    return mark.id if unknown else mark.maker
