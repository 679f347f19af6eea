"""Index for approximate string matching: a reading against all spellings at once, pruned by upper bounds.

Letters that the reading can't tell apart are one and the same to it, so spellings that differ in nothing
else are aligned once; the rest in alphabetical order, so that like beginnings are worked out once, as in a
trie. What cannot matter even at the best is left out.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from heapq import nlargest
from itertools import accumulate, repeat

from .codes import DateCode
from .constants import COMMONNESS, TABLED_SHARE, TURNED
from .edit_distance import (
    GAP_TOKEN,
    Pattern,
    end_lost,
    first_row,
    next_row,
    place_of,
    plain_row,
    too_long,
    turned,
)
from .limits import limits_of, within_reach
from .tables import Mark

FAR_FETCHED = 1e-3  # of the best: turned over and badly worn at once is not tried below that
PROBES = 4
LONG = 4  # from so many letters on their order rules out more than it costs to look at
ROUNDING = 1 - 1e-9


class Spellings:
    """The distinct letter strings of a table, short ones first."""

    def __init__(self, letters: Iterable[str]) -> None:
        self.strings = sorted(set(letters), key=lambda string: (len(string), string))
        self._alphabet = sorted(set("".join(self.strings)))
        self._longest = max(map(len, self.strings), default=0)
        lengths = Counter(map(len, self.strings))
        self._up_to = list(accumulate(lengths[length] for length in range(self._longest + 1)))

    def chances(
        self,
        reading: Pattern,
        raises: Sequence[float] | None = None,
        worth: Callable[[str], float] = lambda string: 1.0,
        most: float = 1.0,
        least: float = 0.0,
        share: float = 0.0,
    ) -> dict[str, float]:
        """Spelling → chance of this reading at its best alignment, also turned over at a price.

        Left out is what times its raise (one for each of ``strings``) times ``most`` stays below ``least``
        and below the ``share`` of some other one's chance times its worth.
        """
        found_by, heaviest, origin = self._like(reading, self.strings, raises)
        longer = too_long(reading, self._longest)
        upper = {
            like: limit * longer[len(like)]
            for like, limit in zip(heaviest, limits_of(reading, heaviest), strict=True)
        }
        at_best = {like: limit * heaviest[like] * most for like, limit in upper.items()}
        probes = {
            *nlargest(PROBES, upper, key=upper.__getitem__),
            *nlargest(PROBES, at_best, key=at_best.__getitem__),
        }
        found = self._aligned(reading, sorted(probes))
        top = max(found.values(), default=0.0) * ROUNDING
        beside = [share * value * worth(origin[like]) for like, value in found.items()]
        least = max([least, *beside]) * ROUNDING
        wanted = sorted(like for like, limit in upper.items() if limit >= top or at_best[like] >= least)
        if len(reading) >= LONG and least > 0:
            weights = {like: heaviest[like] * most for like in wanted}
            needed = {like: min(top, least / weight) if weight else top for like, weight in weights.items()}
            wanted = within_reach(reading, needed, longer)
        found |= self._aligned(reading, [like for like in wanted if like not in found])
        best = {s: found[like] for s, like in zip(self.strings, found_by, strict=True) if like in found}
        top = max(found.values(), default=0.0)
        for other in turned(reading):
            for string, value in self._turned(other, top, raises, least / most if most else 0.0).items():
                best[string] = max(best.get(string, 0.0), value)
        return best

    def _turned(
        self, reading: Pattern, top: float, raises: Sequence[float] | None, least: float
    ) -> dict[str, float]:
        """The same for a reading turned over, where that is not too far-fetched and can matter."""
        strings = self.strings[: self._up_to[min(len(reading), self._longest)]]
        found_by, heaviest, _ = self._like(reading, strings, raises)
        longer = too_long(reading, self._longest)
        far_fetched = 0.0 if GAP_TOKEN in reading else FAR_FETCHED * top
        tried = [
            like
            for like, limit in zip(heaviest, limits_of(reading, heaviest), strict=True)
            if limit * TURNED >= far_fetched and limit * longer[len(like)] * TURNED * heaviest[like] >= least
        ]
        found = self._aligned(reading, sorted(tried))
        return {s: found[like] * TURNED for s, like in zip(strings, found_by, strict=True) if like in found}

    def _like(
        self, reading: Pattern, strings: Sequence[str], raises: Sequence[float] | None
    ) -> tuple[list[str], dict[str, float], dict[str, str]]:
        """What each string looks like to the reading; for each such look its highest raise, and whose."""
        alike = self._alike(reading, strings)
        heaviest: dict[str, float] = {}
        origin: dict[str, str] = {}
        for like, string, most_raised in zip(alike, strings, raises or repeat(1.0), strict=False):
            if most_raised > heaviest.get(like, -1.0):
                heaviest[like], origin[like] = most_raised, string
        return alike, heaviest, origin

    def _alike(self, reading: Pattern, strings: Sequence[str]) -> list[str]:
        """Each string with its letters replaced by the first one that the reading can't tell from it."""
        if not strings:
            return []
        places = [place_of(token) for token in reading]
        first: dict[tuple[float, ...], str] = {}
        same = {ord(c): first.setdefault(tuple([place[c] for place in places]), c) for c in self._alphabet}
        return "\n".join(strings).translate(same).split("\n")

    def _aligned(self, reading: Pattern, strings: Sequence[str]) -> dict[str, float]:
        """The chances of strings in rising order; the rows of like beginnings are kept."""
        places = [place_of(token) for token in reading]
        out = {}
        end = end_lost(reading)
        gaps = any(place.gap for place in places)
        columns: dict[str, list[float]] = {}  # letter of the mark → its chances at each place
        longer = too_long(reading, self._longest)
        rows = [first_row(places)]
        cut = [0.0]  # the best chance where the end of the mark wore off after so many letters
        before = ""
        for string in strings:
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


ONE_FIGURE = ("monogram", "interlaced")
BY_CODE = 1e4  # what a year code of four digits may raise a mark by

Figure = tuple[str, str, str]  # symbol, frame, arrangement


class MarkList:
    """Columns by the number of a mark: its share before reading, its figure; and who is spelled alike."""

    def __init__(self, marks: Iterable[Mark], codes_of: Mapping[str, tuple[DateCode, ...]]) -> None:
        self.marks = list(marks)
        self.share = _shares(self.marks)
        self.coded = [mark.id in codes_of for mark in self.marks]
        figures = [(mark.symbol, mark.frame, mark.arrangement) for mark in self.marks]
        self.figures: list[Figure] = list(dict.fromkeys(figures))
        number = {figure: n for n, figure in enumerate(self.figures)}
        self.figure = [number[figure] for figure in figures]
        self.spelled: dict[str, list[int]] = {}
        for n, mark in enumerate(self.marks):
            self.spelled.setdefault(mark.letters, []).append(n)
        self.one_figure = [n for n, mark in enumerate(self.marks) if mark.arrangement in ONE_FIGURE]
        self.spellings = Spellings(self.spelled)
        self.raises = [self._raise(self.spelled[string]) for string in self.spellings.strings]

    def raises_of(self, numbers: Iterable[int]) -> list[float]:
        """The most by which these marks alone can raise each spelling."""
        spelled: dict[str, list[int]] = {}
        for n in numbers:
            spelled.setdefault(self.marks[n].letters, []).append(n)
        return [self._raise(spelled.get(string, ())) for string in self.spellings.strings]

    def _raise(self, numbers: Iterable[int]) -> float:
        return max((self.share[n] * (BY_CODE if self.coded[n] else 1.0) for n in numbers), default=0.0)


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
