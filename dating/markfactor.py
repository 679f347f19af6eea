"""A mark reading as one joint factor over marks and years.

F(y) = Σ over marks m of π(m)·P(reading | m)·u_m(y)·P(characters | m, y), the unknown mark included with u = 1.
Mark and code are never multiplied separately. Scores are relative to the best candidate.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from .axis import Axis, Sums
from .case import Case
from .constants import CODE_ABSENT, SUPPORT_SHARE, UNKNOWN_SILENCES
from .library import Reference
from .misreading import Read, candidates
from .readings import MarkReading
from .rows import Mark
from .schemes import Effect, effect
from .shapes import Trapezoid
from .spans import EVER, Spans, joined, meet, of_years, span


@dataclass(frozen=True, slots=True)
class Candidate:
    """One mark that may have been read (``mark`` None: one not in the tables), and all that hangs on it."""

    mark: Mark | None
    chance: float
    score: float
    shape: Trapezoid
    effect: Effect

    def mass(self, sums: Sums, weights: Sequence[float], axis: Axis) -> float:
        """Σ over years of the weights times this candidate's part of the factor."""
        shape, eff = self.shape, self.effect
        low = axis.first if shape.common_from is None else shape.common_from
        high = axis.last if shape.common_to is None else shape.common_to
        whole = sums.between(low, high)
        for year in ramp_years(shape, axis):
            whole += weights[year - axis.first] * shape.at(year)
        whole *= eff.everywhere
        for year, more in eff.more:
            whole += weights[year - axis.first] * more * shape.at(year)
        for year in due_years(self, axis):
            whole -= weights[year - axis.first] * (1 - CODE_ABSENT) * eff.everywhere * shape.at(year)
        return self.score * whole


def ramp_years(shape: Trapezoid, axis: Axis) -> list[int]:
    """The years of the axis on the two ramps."""
    out: list[int] = []
    if shape.earliest is not None and shape.common_from is not None:
        out += range(max(shape.earliest, axis.first), min(shape.common_from, axis.last + 1))
    if shape.latest is not None and shape.common_to is not None:
        out += range(max(shape.common_to + 1, axis.first), min(shape.latest, axis.last) + 1)
    return out


def due_years(candidate: Candidate, axis: Axis) -> list[int]:
    """The years of its use in which a code should have been there and was not."""
    due = meet(candidate.effect.absent_in, meet(candidate.shape.support, span(axis.first, axis.last)))
    return [year for low, high in due for year in range(low, high + 1)]


@dataclass(frozen=True, slots=True)
class MarkFactor:
    """The candidates of one reading, their sum over the years, and the years it allows at all."""

    reading: MarkReading
    candidates: tuple[Candidate, ...]
    heights: tuple[float, ...]
    support: Spans
    coded: bool
    leading: tuple[Candidate, ...]


EVERYWHERE = Trapezoid(None, None, None, None)


def mark_factor(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> MarkFactor:
    """The joint factor of a reading, shared between like calls."""
    key = ("factor", reading, axis, case.region, case.contents) + (
        case.bottler,
        case.product,
        case.works,
        case.maker,
    )
    return ref.remember(key, lambda: _factor(reading, case, axis, ref))


def _factor(reading: MarkReading, case: Case, axis: Axis, ref: Reference) -> MarkFactor:
    reads = candidates(reading, ref, case.maker)
    found = [
        Candidate(r.mark, r.chance, r.score, ref.shapes[r.mark.id], effect(r.mark, reading, case, ref, axis))
        for r in reads.reads
    ]
    if reads.unknown:
        eff = effect(None, reading, case, ref, axis)
        found.append(Candidate(None, 0.0, reads.unknown, EVERYWHERE, eff))
    values = _sum(found, axis)
    top = max(values, default=0.0)
    heights = tuple([v / top for v in values]) if top > 0 else (0.0,) * len(values)
    leading = tuple(c for c in found if c.mark and c.chance >= SUPPORT_SHARE * reads.best_chance)
    support, coded = _support(leading, reads.reads, reads.unknown)
    return MarkFactor(reading, tuple(found), heights, support, coded, leading)


def _sum(found: Sequence[Candidate], axis: Axis) -> list[float]:
    """F(y): level stretches by their steps, ramps and code years one by one."""
    size = axis.last - axis.first + 1
    steps = [0.0] * (size + 1)
    points = [0.0] * size
    for candidate in found:
        shape, eff = candidate.shape, candidate.effect
        level = candidate.score * eff.everywhere
        low = axis.first if shape.common_from is None else shape.common_from
        high = axis.last if shape.common_to is None else shape.common_to
        low, high = max(low, axis.first), min(high, axis.last)
        if low <= high:
            steps[low - axis.first] += level
            steps[high + 1 - axis.first] -= level
        for year in ramp_years(shape, axis):
            points[year - axis.first] += level * shape.at(year)
        for year, more in eff.more:
            points[year - axis.first] += candidate.score * more * shape.at(year)
        for year in due_years(candidate, axis):
            points[year - axis.first] -= level * (1 - CODE_ABSENT) * shape.at(year)
    return [max(0.0, a + b) for a, b in zip(accumulate(steps), points, strict=False)]


def _support(leading: tuple[Candidate, ...], reads: tuple[Read, ...], unknown: float) -> tuple[Spans, bool]:
    """The years that the marks read best allow, cut to code years; nothing where the mark is likely unknown."""
    known = sum(read.score for read in reads)
    if not leading or unknown > UNKNOWN_SILENCES * (known + unknown):
        return EVER, False
    parts: list[tuple[int, int]] = []
    coded = True
    for candidate in leading:
        years = [y for y in candidate.effect.years if candidate.shape.at(y) > 0]
        coded = coded and bool(years)
        parts.extend(of_years(years) if years else candidate.shape.support)
    return joined(parts), coded


def shares(factor: MarkFactor, weight: float, others: Sequence[float], axis: Axis) -> list[float]:
    """The probability of each candidate given everything, in their order.

    ``others`` are prior × all other evidence by year. With the chance 1 − w that the reading is wrong the
    years tell nothing about the mark.
    """
    sums, prior_sums = Sums(axis, others), Sums(axis, axis.prior)
    total = sum(others)
    masses = [
        weight * c.mass(sums, others, axis) + (1 - weight) * c.mass(prior_sums, axis.prior, axis) * total
        for c in factor.candidates
    ]
    whole = sum(masses)
    return [m / whole for m in masses] if whole > 0 else [0.0] * len(masses)
