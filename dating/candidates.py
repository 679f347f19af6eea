"""One mark that may have been read, prepared for an axis of years."""

from collections.abc import Sequence
from typing import NamedTuple

from .axis import Axis
from .constants import CODE_ABSENT
from .rows import Mark
from .schemes import Effect
from .shapes import Trapezoid
from .spans import meet, span

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
