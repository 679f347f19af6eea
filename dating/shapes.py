"""Trapezoid: the shape of a piece of evidence over the years, how usual it was from 0 to 1."""

from dataclasses import dataclass
from functools import lru_cache

from .axis import Axis
from .constants import CIRCA, FIRM, TAIL_HALVES
from .rows import Feature, Mark
from .spans import Spans, span


@dataclass(frozen=True, slots=True)
class Trapezoid:
    """Rises from ``earliest`` to ``common_from``, stays 1, falls from ``common_to`` to ``latest``.

    A blank outer corner beside a known inner one is a tail that halves every 20 years; both blank is flat.
    """

    earliest: int | None
    common_from: int | None
    common_to: int | None
    latest: int | None

    def at(self, year: int) -> float:
        """The height in a year."""
        return min(self._rise(year), self._fall(year))

    def _rise(self, year: int) -> float:
        if self.common_from is None or year >= self.common_from:
            return 1.0
        if self.earliest is None:
            return float(0.5 ** ((self.common_from - year) / TAIL_HALVES))
        return max(0.0, (year - self.earliest + 1) / (self.common_from - self.earliest + 1))

    def _fall(self, year: int) -> float:
        if self.common_to is None or year <= self.common_to:
            return 1.0
        if self.latest is None:
            return float(0.5 ** ((year - self.common_to) / TAIL_HALVES))
        return max(0.0, (self.latest - year + 1) / (self.latest - self.common_to + 1))

    def over(self, axis: Axis) -> tuple[float, ...]:
        """The heights over every year of the axis."""
        return _over(self, axis)

    @property
    def support(self) -> Spans:
        """The years where it is above zero."""
        return span(self.earliest, self.latest)


@lru_cache(maxsize=4096)
def _over(shape: Trapezoid, axis: Axis) -> tuple[float, ...]:
    first, last = axis.first, axis.last
    begin = first if shape.earliest is None else min(max(shape.earliest, first), last + 1)
    end = last if shape.latest is None else max(min(shape.latest, last), begin - 1)
    return (
        (0.0,) * (begin - first)
        + tuple(shape.at(year) for year in range(begin, end + 1))
        + (0.0,) * (last - end)
    )


def of_feature(feature: Feature) -> Trapezoid:
    """The trapezoid of a row; a missing inner corner stands on the outer one, a firm side ends sharply."""
    first = feature.earliest
    last = feature.latest
    common_from = feature.common_from if feature.common_from is not None else first
    common_to = feature.common_to if feature.common_to is not None else last
    if feature.hard_limit in ("start", "both") and first is None:
        first = common_from
    if feature.hard_limit in ("end", "both") and last is None:
        last = common_to
    return Trapezoid(first, common_from, common_to, last)


def of_years(start: int | None, end: int | None, ramp_before: int = 0, ramp_after: int = 0) -> Trapezoid:
    """A box with ramps added outward; a ``None`` end is open."""
    return Trapezoid(
        None if start is None else start - ramp_before, start, end, None if end is None else end + ramp_after
    )


def of_mark(mark: Mark) -> Trapezoid:
    """The years of a mark: circa adds 5 years on its side, a firm's lifetime 10 on both."""
    firm = FIRM if mark.window_of == "firm" else 0
    return of_years(
        mark.used_from,
        mark.used_to,
        max(firm, CIRCA if mark.from_circa else 0),
        max(firm, CIRCA if mark.to_circa else 0),
    )
