"""Index for approximate string matching: a reading against all spellings at once, pruned by upper bounds.

What cannot matter even at the best is left out (branch and bound). Letters that a short reading can't tell
apart are one and the same to it, so spellings that differ in nothing else are aligned once.
"""

from bisect import bisect_right
from collections.abc import Collection, Iterable, Mapping, Sequence
from operator import mul

from .codes import DateCode
from .constants import COMMONNESS, TABLED_SHARE, TURNED
from .edit_distance import Alignment, Pattern, place_of, turned
from .limits import Lanes
from .tables import Mark

PROBES = 3  # aligned first, so that the rest must stand beside what they show
ROUNDING = 1 - 1e-9
ALIKE_BELOW = 4  # places; of longer readings hardly any two spellings look alike


class Spellings:
    """The distinct letter strings of a table, short ones first."""

    def __init__(self, letters: Iterable[str]) -> None:
        self.strings = sorted(set(letters), key=lambda string: (len(string), string))
        self.number = {string: n for n, string in enumerate(self.strings)}
        self._sizes = list(map(len, self.strings))
        self._alphabet = sorted(set("".join(self.strings)))
        self._lanes = Lanes(self.strings)

    def limits(self, reading: Pattern) -> list[float]:
        """For each of ``strings``: the chance of the reading, not turned over, is not above this."""
        return self._lanes.limits(reading, len(self.strings))

    def chances(
        self,
        reading: Pattern,
        weights: Sequence[float] | None = None,
        raised: Sequence[float] | None = None,
        least: float = 0.0,
        share: float = 0.0,
    ) -> dict[str, float]:
        """Spelling → chance of this reading at its best alignment, also turned over at a price.

        Left out is what times its ``raised`` weight stays below ``least`` and below the ``share`` of some
        other one's chance times its weight (one for each of ``strings``; all alike where none are given).
        """
        weights = weights or [1.0] * len(self.strings)
        at_best = list(map(mul, self.limits(reading), raised or weights))
        likely = sorted(range(len(at_best)), key=at_best.__getitem__, reverse=True)
        found = self._aligned(reading, [self.strings[n] for n in likely[:PROBES]])
        beside = [share * value * weights[self.number[string]] for string, value in found.items()]
        least = max([least, *beside]) * ROUNDING
        wanted = [self.strings[n] for n in likely[PROBES:] if at_best[n] >= least]
        found |= self._aligned(reading, wanted)
        for other in turned(reading):
            for string, value in self._turned(other, raised or weights, least).items():
                found[string] = max(found.get(string, 0.0), value)
        return found

    def _turned(self, reading: Pattern, raised: Sequence[float], least: float) -> dict[str, float]:
        """The same for a reading turned over, where that can matter, of marks no longer than it."""
        number = bisect_right(self._sizes, len(reading))
        most = max(raised[:number], default=0.0) * TURNED
        if self._lanes.highest(reading, number) * most < least:
            return {}
        limits = self._lanes.limits(reading, number)
        tried = [
            string
            for string, limit, weight in zip(self.strings, limits, raised, strict=False)
            if limit * TURNED * weight >= least
        ]
        return {s: value * TURNED for s, value in self._aligned(reading, tried).items()}

    def _aligned(self, reading: Pattern, strings: Sequence[str]) -> dict[str, float]:
        """The chances of these strings, worked out once for all that look alike to the reading."""
        if not strings:
            return {}
        alignment = Alignment(reading, max(self._sizes, default=0))
        alike = self._alike(reading, strings) if len(reading) < ALIKE_BELOW else strings
        known = {like: alignment.chance(like) for like in set(alike)}
        return {string: known[like] for string, like in zip(strings, alike, strict=True)}

    def _alike(self, reading: Pattern, strings: Sequence[str]) -> list[str]:
        """Each string with its letters replaced by the first one that the reading can't tell from it."""
        places = [place_of(token) for token in reading]
        first: dict[tuple[float, ...], str] = {}
        same = {ord(c): first.setdefault(tuple([place[c] for place in places]), c) for c in self._alphabet}
        return "\n".join(strings).translate(same).split("\n")


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
        self.spellings = Spellings(self.spelled)


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
