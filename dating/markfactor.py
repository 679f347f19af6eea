"""Mixture likelihood: a mark reading as one joint factor over marks and years.

F(y) = Σ over marks m of π(m)·P(reading | m)·u_m(y)·P(characters | m, y), the unknown mark with u = 1.
Mark and code are never multiplied separately. Scores are relative to the best candidate.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import add
from typing import NamedTuple, cast

from .case import Case, MarkReading
from .constants import CODE_ABSENT, SUPPORT_SHARE, UNKNOWN_SILENCES
from .laws import law_class
from .library import Reference
from .misreading import Reads, candidates
from .schemes import Effect, bindings, codes_end_before, effect
from .tables import Mark
from .years import EVER, Axis, Spans, Trapezoid, joined, meet, span, spans_of

EVERYWHERE = Trapezoid(None, None, None, None)


class Stretch(NamedTuple):
    """A mark on an axis by year number: level from ``low`` up to ``high``, its ramps, its prior mean."""

    low: int
    high: int
    ramps: tuple[tuple[int, float], ...]
    alone: float


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
    alone = sum(axis.prior[low:high]) + sum(axis.prior[n] * value for n, value in ramps)
    return Stretch(low, high, ramps, alone)


class Candidate(NamedTuple):
    """One mark that may have been read (``mark`` None: one not in the tables), and all that hangs on it.

    Its part of the factor, ``score`` × (the stretch × P(characters) everywhere, and ``extra`` by year),
    is nowhere above ``peak``.
    """

    mark: Mark | None
    chance: float
    score: float
    shape: Trapezoid
    effect: Effect
    stretch: Stretch
    extra: tuple[tuple[int, float], ...]
    peak: float

    def alone(self, axis: Axis) -> float:
        """Σ over years of the prior times its part."""
        whole = self.effect.everywhere * self.stretch.alone
        for n, value in self.extra:
            whole += axis.prior[n] * value
        return self.score * whole

    def mass(self, sums: Sequence[float], weights: Sequence[float]) -> float:
        """Σ over years of the weights times its part; ``sums`` are the weights' running sums."""
        whole = sums[self.stretch.high] - sums[self.stretch.low]
        for n, value in self.stretch.ramps:
            whole += weights[n] * value
        whole *= self.effect.everywhere
        for n, value in self.extra:
            whole += weights[n] * value
        return self.score * whole


def candidate(
    mark: Mark | None,
    chance: float,
    score: float,
    shape: Trapezoid,
    effect: Effect,
    axis: Axis,
    stretched: Stretch,
) -> Candidate:
    """A candidate prepared for the axis, on which its shape is ``stretched``."""
    if not effect.more and not effect.absent_in:
        return Candidate(mark, chance, score, shape, effect, stretched, (), score * effect.everywhere)
    extra = [(year - axis.first, more * shape.at(year)) for year, more in effect.more]
    if effect.absent_in:
        missed = (1 - CODE_ABSENT) * effect.everywhere
        for begin, end in meet(effect.absent_in, meet(shape.support, span(axis.first, axis.last))):
            extra += [(year - axis.first, -missed * shape.at(year)) for year in range(begin, end + 1)]
    peak = score * (effect.everywhere + max((more for _, more in effect.more), default=0.0))
    return Candidate(mark, chance, score, shape, effect, stretched, tuple(extra), peak)


@dataclass(frozen=True, slots=True, eq=False)
class MarkFactor:
    """The candidates of one reading, each one's mass alone, their sum (heights × top), the years allowed.

    Compared by identity, as it serves in keys.
    """

    candidates: tuple[Candidate, ...]
    alone: tuple[float, ...]
    top: float
    heights: tuple[float, ...]
    support: Spans
    coded: bool
    leading: tuple[Candidate, ...]


def mark_factor(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> MarkFactor:
    """The joint factor of a reading, shared between like calls; how sure the look was plays no part."""
    key = ("factor", *_key(reading, case, ref), axis)
    return ref.remember(key, lambda: _factor(reading, case, axis, ref))


def _key(reading: MarkReading, case: Case, ref: Reference) -> tuple[object, ...]:
    """All that the candidates of a reading hang on, but the years considered."""
    beside = (reading.left, reading.right, reading.above, reading.below)
    bound = None if beside == (None,) * 4 else (reading.at, bindings(case, ref))
    return (
        *(reading.letters, reading.symbol, reading.frame, reading.arrangement, reading.only),
        *(beside, bound, case.maker, case.region),
    )


def _factor(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> MarkFactor:
    reads = candidates(reading, ref, case.maker, case.region)
    kept = _kept(reads, reading, case, axis, ref)
    running = _prepared(reads, kept.running, kept.stands_for, reading, case, axis, ref)
    found, alone = list(kept.candidates), list(kept.alone)
    for n, one in zip(kept.running, running, strict=True):
        found[n], alone[n] = one, one.alone(axis)
    values = _sum(running, axis)
    for n, value in enumerate(kept.values):
        values[n] += value
    top = max(0.0, *values)
    heights = tuple([v / top if v > 0 else 0.0 for v in values]) if top > 0 else (0.0,) * len(values)
    everyone = cast(tuple[Candidate, ...], tuple(found))
    leading = _leading(everyone, reads)
    support, coded = support_of(leading)
    return MarkFactor(everyone, tuple(alone), top, heights, support, coded, leading)


class Kept(NamedTuple):
    """What a reading's factors on axes of one base share: the candidates that end before these differ.

    ``values`` is their sum over the years before; those still ``running`` must be prepared for each axis.
    Marks without a year code differ by little but their country: one of each ``stands_for`` the others.
    """

    candidates: tuple[Candidate | None, ...]
    alone: tuple[float, ...]
    values: tuple[float, ...]
    running: tuple[int, ...]
    stands_for: dict[str, Mark]


def _kept(reads: Reads, reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> Kept:
    """Shared by finds that came up in different years: all but the last years of their axes are the same."""
    size = len(reads.reads) + bool(reads.unknown)
    if axis.base is None:
        return Kept((None,) * size, (0.0,) * size, (), tuple(range(size)), _standing(reads, ref))
    key = (*_key(reading, case, ref), axis.base)
    base = axis.base
    return ref.remember(("kept", *key), lambda: _ended(reads, reading, case, base, ref))


def _ended(reads: Reads, reading: MarkReading, case: Case, base: Axis, ref: Reference) -> Kept:
    numbers, standing = range(len(reads.reads) + bool(reads.unknown)), _standing(reads, ref)
    every = _prepared(reads, numbers, standing, reading, case, base, ref)
    ended = _ended_before(every, reading, case, ref, base.last)
    return Kept(
        tuple(ended),
        tuple([one.alone(base) if one else 0.0 for one in ended]),
        tuple(_sum([one for one in ended if one], base)[:-1]),
        tuple([n for n, one in enumerate(ended) if not one]),
        standing,
    )


def _ended_before(
    found: Iterable[Candidate], reading: MarkReading, case: Case, ref: Reference, year: int
) -> list[Candidate | None]:
    """The candidates of which neither the mark nor a code reaches the year; None in place of the others."""
    kinds = _kinds(ref)
    known: dict[str, bool] = {}

    def ends(mark: Mark | None, latest: int | None) -> bool:
        if mark is None or latest is None or latest >= year:
            return False
        kind = kinds.get(mark.id, mark.id)
        if kind not in known:
            known[kind] = codes_end_before(mark, reading, case, ref, year)
        return known[kind]

    return [one if ends(one.mark, one.shape.latest) else None for one in found]


def _kinds(ref: Reference) -> dict[str, str]:
    """Of each mark without a year code: all that the characters beside it can depend on."""
    uncoded = (mark for name, mark in ref.marks.items() if name not in ref.year_coded)
    return ref.remember(
        ("kinds",),
        lambda: {m.id: "never a year" if m.id in ref.codes_of else law_class(m, ref) for m in uncoded},
    )


def _standing(reads: Reads, ref: Reference) -> dict[str, Mark]:
    """The best-read mark without a year code of every kind."""
    found: dict[str, Mark] = {}
    kinds = _kinds(ref)
    for mark, _, _ in reads.reads:
        if mark.id in kinds:
            found.setdefault(kinds[mark.id], mark)
    return found


def _prepared(
    reads: Reads,
    numbers: Iterable[int],
    standing: dict[str, Mark],
    reading: MarkReading,
    case: Case,
    axis: Axis,
    ref: Reference,
) -> list[Candidate]:
    """The candidates of these numbers on an axis; the number after the last mark is the unknown one."""
    # the years of each mark on this axis, shared by all readings
    stretches: dict[str, Stretch] = ref.remember(("stretches", axis), dict)
    plain: dict[str, Effect] = {}
    kinds = _kinds(ref)
    found = []
    for number in numbers:
        if number == len(reads.reads):
            eff = effect(None, reading, case, ref, axis)
            ever = stretch(EVERYWHERE, axis)
            found.append(candidate(None, 0.0, reads.unknown, EVERYWHERE, eff, axis, ever))
            continue
        mark, chance, score = reads.reads[number]
        kind = kinds.get(mark.id)
        if kind is None:
            eff = effect(mark, reading, case, ref, axis)
        else:
            if kind not in plain:
                plain[kind] = effect(standing[kind], reading, case, ref, axis)
            eff = plain[kind]
        shape = ref.shapes[mark.id]
        if mark.id not in stretches:
            stretches[mark.id] = stretch(shape, axis)
        found.append(candidate(mark, chance, score, shape, eff, axis, stretches[mark.id]))
    return found


def _sum(found: Sequence[Candidate], axis: Axis) -> list[float]:
    """F(y): level stretches by their steps, the rest year by year (taken apart by place, for speed)."""
    size = axis.last - axis.first + 1
    steps = [0.0] * (size + 1)
    points = [0.0] * size
    for _, _, score, _, eff, (low, high, ramps, _), extra, _ in found:
        level = score * eff.everywhere
        steps[low] += level
        steps[high] -= level
        for n, value in ramps:
            points[n] += level * value
        for n, value in extra:
            points[n] += score * value
    return list(map(add, accumulate(steps), points))


def _leading(found: Sequence[Candidate], reads: Reads) -> tuple[Candidate, ...]:
    """The marks that the reading fits best; none where the mark is likely not in the tables."""
    known = sum(read.score for read in reads.reads)
    if reads.unknown > UNKNOWN_SILENCES * (known + reads.unknown):
        return ()
    least = SUPPORT_SHARE * reads.best_chance
    return tuple(c for c in found if c.mark and c.chance >= least)


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
