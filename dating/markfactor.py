"""Mixture likelihood: a mark reading as one joint factor over marks and years.

F(y) = Σ over marks m of π(m)·P(reading | m)·u_m(y)·P(characters | m, y), the unknown mark with u = 1.
Mark and code are never multiplied separately. Scores are relative to the best candidate.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple

from .case import Case, MarkReading
from .constants import CODE_ABSENT, SUPPORT_SHARE, UNKNOWN_SILENCES
from .library import Reference
from .misreading import Reads, candidates
from .schemes import Effect, Effects, bindings
from .tables import Mark
from .years import EVER, Axis, Spans, Trapezoid, joined, meet, span, spans_of

EVERYWHERE = Trapezoid(None, None, None, None)
ROUNDING_OF_SUMS = 1e-12  # of the highest: the rounding of sums


class Stretch(NamedTuple):
    """A mark on an axis by year number: level from ``low`` up to ``high``, its ramps, its prior mean.

    ``bends`` are the years in which its slope changes, and by how much (second differences): a few numbers
    in place of one for each year.
    """

    low: int
    high: int
    ramps: tuple[tuple[int, float], ...]
    alone: float
    bends: tuple[tuple[int, float], ...]


def stretch(shape: Trapezoid, axis: Axis) -> Stretch:
    """The shape of a mark prepared for adding up."""
    first, size = axis.first, axis.last - axis.first + 1
    low = 0 if shape.common_from is None else min(max(shape.common_from - first, 0), size)
    high = size if shape.common_to is None else max(min(shape.common_to + 1 - first, size), low)
    years: list[int] = []
    if shape.earliest is not None and shape.common_from is not None:
        years += range(max(shape.earliest, first), min(shape.common_from, axis.last + 1))
    if shape.latest is not None and shape.common_to is not None:
        years += range(max(shape.common_to + 1, first), min(shape.latest, axis.last) + 1)
    ramps = tuple((year - first, shape.at(year)) for year in years)
    alone = axis.sums[high] - axis.sums[low] + sum(axis.prior[n] * value for n, value in ramps)
    # elsewhere the height is that of the two years before
    near = sorted({n + k for n in (0, low, high, *(n for n, _ in ramps)) for k in range(3)})
    return Stretch(low, high, ramps, alone, bends(shape, first, [n for n in near if n < size]))


def bends(shape: Trapezoid, first: int, near: Sequence[int]) -> tuple[tuple[int, float], ...]:
    """Where the slope of the shape changes, and by how much: of these years by their number, in order.

    Before the first year the height counts as 0.
    """
    heights = {n: shape.at(first + n) if n >= 0 else 0.0 for year in near for n in (year - 2, year - 1, year)}
    changes = ((n, heights[n] - 2 * heights[n - 1] + heights[n - 2]) for n in near)
    return tuple((n, change) for n, change in changes if abs(change) > ROUNDING_OF_SUMS)


class Part(NamedTuple):
    """What a candidate's years hang on, the same for all readings with these characters beside the mark.

    A candidate's part of the factor is its score × (``effect.everywhere`` × the stretch, and ``extra`` by
    year number); for a score of 1 it is nowhere above ``peak``.
    """

    shape: Trapezoid
    effect: Effect
    stretch: Stretch
    extra: tuple[tuple[int, float], ...]
    peak: float
    alone: float
    """Its sum over the years under the prior."""

    def mass(self, sums: Sequence[float], weights: Sequence[float]) -> float:
        """Σ over years of the weights times its part; ``sums`` are the weights' running sums."""
        stretch = self.stretch
        whole = sums[stretch.high] - sums[stretch.low]
        for n, value in stretch.ramps:
            whole += weights[n] * value
        whole *= self.effect.everywhere
        for n, value in self.extra:
            whole += weights[n] * value
        return whole


class Candidate(NamedTuple):
    """One mark that may have been read (``mark`` None: one not in the tables), and all that hangs on it."""

    mark: Mark | None
    chance: float
    score: float
    part: Part

    @property
    def shape(self) -> Trapezoid:
        """Its years."""
        return self.part.shape

    @property
    def effect(self) -> Effect:
        """How the characters beside the mark bear on its years."""
        return self.part.effect


class PartsByMark(dict[str, Part]):
    """Id of a mark → its part, for one set of characters on one axis; worked out when asked."""

    def __init__(self, effects: Effects, stretches: dict[str, Stretch], axis: Axis, ref: Reference) -> None:
        super().__init__()
        self._effects, self._stretches, self._axis, self._ref = effects, stretches, axis, ref
        self.unknown = self._part(EVERYWHERE, effects.of(None), stretch(EVERYWHERE, axis))

    def __missing__(self, name: str) -> Part:
        shape = self._ref.shapes[name]
        found = self._stretches.get(name)
        if found is None:
            found = self._stretches[name] = stretch(shape, self._axis)
        part = self[name] = self._part(shape, self._effects.of(self._ref.marks[name]), found)
        return part

    def _part(self, shape: Trapezoid, effect: Effect, stretched: Stretch) -> Part:
        if not effect.more and not effect.absent_in:
            return Part(shape, effect, stretched, (), effect.everywhere, effect.everywhere * stretched.alone)
        first, last = self._axis.first, self._axis.last
        extra = [(year - first, more * shape.at(year)) for year, more in effect.more]
        if effect.absent_in:
            missed = (1 - CODE_ABSENT) * effect.everywhere
            for begin, end in meet(effect.absent_in, meet(shape.support, span(first, last))):
                extra += [(year - first, -missed * shape.at(year)) for year in range(begin, end + 1)]
        peak = effect.everywhere + max((more for _, more in effect.more), default=0.0)
        alone = effect.everywhere * stretched.alone
        for n, value in extra:
            alone += self._axis.prior[n] * value
        return Part(shape, effect, stretched, tuple(extra), peak, alone)


@dataclass(frozen=True, eq=False)
class MarkFactor:
    """The sum of all candidates (heights × top), what they hold alone together, and the years allowed.

    Compared by identity, as it serves in keys.
    """

    reads: Reads
    parts: tuple[Part, ...]
    """By the number of a candidate; the unknown one, where there is such, is the last."""
    top: float
    heights: tuple[float, ...]
    alone: float
    """Σ over years and candidates of the prior times their parts."""
    support: Spans
    coded: bool
    leading: tuple[Candidate, ...]

    def candidate(self, number: int) -> Candidate:
        """The candidate of a number."""
        return _candidate(self.reads, number, self.parts[number])

    def score(self, number: int) -> float:
        """The score of a candidate of a number."""
        return self.reads.scores[number] if number < len(self.reads.scores) else self.reads.unknown

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """All of them, best first."""
        return tuple(map(self.candidate, range(len(self.parts))))

    @cached_property
    def by_limit(self) -> tuple[tuple[float, int], ...]:
        """Upper limits of the candidates' shares for each unit of other evidence, highest first; no unknown.

        Its peak limits a candidate's height in any year, and so also the prior mean of its part.
        """
        pairs = zip(self.reads.scores, self.parts, range(len(self.reads.scores)), strict=False)
        return tuple(sorted([(score * part.peak, number) for score, part, number in pairs], reverse=True))


def _candidate(reads: Reads, number: int, part: Part) -> Candidate:
    if number == len(reads.marks):
        return Candidate(None, 0.0, reads.unknown, part)
    return Candidate(reads.marks[number], reads.chances[number], reads.scores[number], part)


def mark_factor(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> MarkFactor:
    """The joint factor of a reading, shared between like calls; how sure the look was plays no part."""
    beside = _beside(reading, case, axis, ref)
    read = (reading.letters, reading.symbol, reading.frame, reading.arrangement, reading.only)
    key = ("factor", *read, case.maker, case.region, *beside)
    return ref.remember(key, lambda: _factor(reading, case, axis, beside, ref))


def _beside(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> tuple[object, ...]:
    """All that the years of a reading's candidates hang on."""
    beside = (reading.left, reading.right, reading.above, reading.below)
    bound = None if beside == (None,) * 4 else (reading.at, bindings(case, ref))
    return (*beside, bound, axis)


def _factor(
    reading: MarkReading, case: Case, axis: Axis, beside: tuple[object, ...], ref: Reference
) -> MarkFactor:
    reads = candidates(reading, ref, case.maker, case.region)
    stretches: dict[str, Stretch] = ref.remember(("stretches", axis), dict)
    by_name = ref.remember(
        ("parts", *beside), lambda: PartsByMark(Effects(reading, case, ref, axis), stretches, axis, ref)
    )
    parts = [by_name[mark.id] for mark in reads.marks]
    scores = reads.scores
    if reads.unknown:
        parts.append(by_name.unknown)
        scores += (reads.unknown,)
    values = _sum(scores, parts, axis)
    top = max(values)
    low = ROUNDING_OF_SUMS * top
    heights = tuple([v / top if v > low else 0.0 for v in values]) if top > 0 else (0.0,) * len(values)
    leading = _leading(reads, parts)
    support, coded = support_of(leading)
    return MarkFactor(
        reads, tuple(parts), max(0.0, top), heights, top * axis.mean(heights), support, coded, leading
    )


def _sum(scores: Sequence[float], parts: Sequence[Part], axis: Axis) -> list[float]:
    """F(y): the slopes' changes added up twice, and on top what single years have."""
    size = axis.last - axis.first + 1
    changes = [0.0] * size
    coded = []
    for score, (_, effect, stretched, extra, _, _) in zip(scores, parts, strict=True):
        level = score * effect.everywhere
        for n, change in stretched.bends:
            changes[n] += level * change
        if extra:
            coded.append((score, extra))
    values = list(accumulate(accumulate(changes)))
    for score, extra in coded:
        for n, value in extra:
            values[n] += score * value
    return values


def _leading(reads: Reads, parts: Sequence[Part]) -> tuple[Candidate, ...]:
    """The marks that the reading fits best; none where the mark is likely not in the tables."""
    if reads.unknown > UNKNOWN_SILENCES * (sum(reads.scores) + reads.unknown):
        return ()
    least = SUPPORT_SHARE * reads.best_chance
    return tuple(
        [_candidate(reads, n, parts[n]) for n, chance in enumerate(reads.chances) if chance >= least]
    )


def support_of(leading: tuple[Candidate, ...]) -> tuple[Spans, bool]:
    """The years that these marks allow, cut to code years, and whether all have code years."""
    if not leading:
        return EVER, False
    parts: list[tuple[int, int]] = []
    coded = True
    for one in leading:
        years = [y for y in one.effect.years if one.shape.at(y) > 0]
        coded = coded and bool(years)
        parts.extend(spans_of(years) if years else one.shape.support)
    return joined(parts), coded
