"""The years considered and their prior probability, before anything is read (our own assumption)."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import mul

from .constants import AXIS_START, PRIOR

Segments = tuple[tuple[int, int, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """Every year from first to last and its prior probability (they sum to 1).

    Compared by identity (``axis_to`` hands out the same one again), as it serves in many keys.
    """

    first: int
    last: int
    prior: tuple[float, ...]
    base: "Axis | None" = None
    """The shortest axis with the same prior in all years but those of the period still running."""

    @property
    def years(self) -> range:
        """All its years."""
        return range(self.first, self.last + 1)

    def mean(self, heights: Sequence[float]) -> float:
        """The prior mean of a shape."""
        return float(sum(map(mul, self.prior, heights)))


@lru_cache(maxsize=64)
def axis_to(last: int, segments: Segments = PRIOR) -> Axis:
    """The axis up to ``last``; each period's share lies evenly on its years, and all is scaled to 1.

    Raises ValueError where no period holds a year of the axis.
    """
    prior = [0.0] * (last - AXIS_START + 1)
    for begin, end, share in segments:
        years = range(max(begin, AXIS_START), min(end, last) + 1)
        for year in years:
            prior[year - AXIS_START] += share / len(years)
    total = sum(prior)
    if total <= 0:
        raise ValueError("the prior holds no year of the axis")
    return Axis(AXIS_START, last, tuple(p / total for p in prior), _base(last, segments))


def _base(last: int, segments: Segments) -> Axis | None:
    """The axis that ends with the first year of the last period, where that period is still running."""
    begin = max(begin for begin, _, _ in segments)
    running = [(start, end) for start, end, _ in segments if end >= begin]
    if len(running) != 1 or not AXIS_START < begin < last <= running[0][1]:
        return None
    return axis_to(begin, segments)
