"""Arithmetic on years: the axis and its prior, interval sets, trapezoids, highest-density regions.

Everything else says what it knows in these: where a piece of evidence may lie at all (spans), how usual it
was (a trapezoid), how probable each year is before anything is read (the axis), and the fewest years that
hold a given probability afterwards (level sets).
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from operator import mul
from typing import NamedTuple

from .constants import AXIS_START, CIRCA, FIRM, PRIOR, TAIL_HALVES, TIE
from .tables import Feature, Mark

Segments = tuple[tuple[int, int, float, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """Every year from first to last and its prior probability (they sum to 1).

    Compared by identity (``axis_to`` hands out the same one again), as it serves in many keys.
    """

    first: int
    last: int
    prior: tuple[float, ...]
    sums: tuple[float, ...]
    """Running sums of the prior: by a year's number, of all before it."""

    @property
    def years(self) -> range:
        """All its years."""
        return range(self.first, self.last + 1)

    def mean(self, heights: Sequence[float]) -> float:
        """The prior mean of a shape."""
        return float(sum(map(mul, self.prior, heights)))


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=64)
def axis_to(last: int, segments: Segments = PRIOR) -> Axis:
    """The axis up to ``last``; each period's share lies on its years, and all is scaled to 1.

    It rises evenly from the first year of the period to so many times as much in its last.

    Raises ValueError where no period holds a year of the axis.
    """
    prior = [0.0] * (last - AXIS_START + 1)
    for begin, end, share, rise in segments:
        years = range(max(begin, AXIS_START), min(end, last) + 1)
        heights = [1 + (rise - 1) * (year - begin) / max(1, end - begin) for year in years]
        whole = sum(heights)
        for year, height in zip(years, heights, strict=True):
            prior[year - AXIS_START] += share * height / whole
    total = sum(prior)
    if total <= 0:
        raise ValueError("the prior holds no year of the axis")
    scaled_prior = tuple(p / total for p in prior)
    return Axis(AXIS_START, last, scaled_prior, (0.0, *accumulate(scaled_prior)))


OPEN_LOW, OPEN_HIGH = -1_000_000, 1_000_000

Spans = tuple[tuple[int, int], ...]
EVER: Spans = ((OPEN_LOW, OPEN_HIGH),)


def span(start: int | None, end: int | None) -> Spans:
    """One stretch; ``None`` is an open side."""
    return ((OPEN_LOW if start is None else start, OPEN_HIGH if end is None else end),)


def joined(parts: Iterable[tuple[int, int]]) -> Spans:
    """The union, in order, neighbours run together."""
    out: list[tuple[int, int]] = []
    for low, high in sorted(parts):
        if out and low <= out[-1][1] + 1:
            out[-1] = (out[-1][0], max(high, out[-1][1]))
        else:
            out.append((low, high))
    return tuple(out)


def spans_of(years: Iterable[int]) -> Spans:
    """Single years as spans."""
    return joined((y, y) for y in years)


def meet(a: Spans, b: Spans) -> Spans:
    """The years in both."""
    if a == EVER:
        return b
    if b == EVER:
        return a
    out = []
    i = j = 0
    while i < len(a) and j < len(b):
        low, high = max(a[i][0], b[j][0]), min(a[i][1], b[j][1])
        if low <= high:
            out.append((low, high))
        if a[i][1] < b[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def meet_all(sets: Iterable[Spans]) -> Spans:
    """The years in every one of them."""
    out = EVER
    for spans in sets:
        out = meet(out, spans)
    return out


def ends(spans: Spans) -> tuple[int | None, int | None]:
    """First and last year, ``None`` for an open side (and for both of an empty set)."""
    if not spans:
        return None, None
    low, high = spans[0][0], spans[-1][1]
    return (None if low == OPEN_LOW else low), (None if high == OPEN_HIGH else high)


def years_in(spans: Spans) -> tuple[int, ...]:
    """Every year of a bounded set."""
    return tuple(year for low, high in spans for year in range(low, high + 1))


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


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
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


def shape_of_feature(feature: Feature) -> Trapezoid:
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


def box(start: int | None, end: int | None, ramp_before: int = 0, ramp_after: int = 0) -> Trapezoid:
    """A box with ramps added outward; a ``None`` end is open."""
    return Trapezoid(
        None if start is None else start - ramp_before, start, end, None if end is None else end + ramp_after
    )


def shape_of_mark(mark: Mark) -> Trapezoid:
    """The years of a mark: circa adds 5 years on its side, a firm's lifetime 10 on both."""
    firm = FIRM if mark.window_of == "firm" else 0
    return box(
        mark.used_from,
        mark.used_to,
        max(firm, CIRCA if mark.from_circa else 0),
        max(firm, CIRCA if mark.to_circa else 0),
    )


def scaled(values: Sequence[float]) -> list[float]:
    """The same, to a sum of 1."""
    total = sum(values)
    return [value / total for value in values]


class Run(NamedTuple):
    """Neighbouring years of a set and the probability that they hold together."""

    start: int
    end: int
    probability: float


def threshold(falling: Sequence[float], mass: float) -> float:
    """The level at which the highest years reach the mass; ``falling``: the probabilities, highest first."""
    reached = bisect_left(list(accumulate(falling)), mass - 1e-12)
    return falling[min(reached, len(falling) - 1)] * (1 - TIE)


def runs(probabilities: Sequence[float], first: int, level: float) -> tuple[Run, ...]:
    """The runs of years at or above the level."""
    inside = [n for n, value in enumerate(probabilities) if value >= level]
    breaks = [k for k in range(1, len(inside)) if inside[k] != inside[k - 1] + 1]
    out = []
    for a, b in zip([0, *breaks], [*breaks, len(inside)], strict=True):
        start, end = inside[a], inside[b - 1]
        out.append(Run(first + start, first + end, sum(probabilities[start : end + 1])))
    return tuple(out)


def level_set(probabilities: Sequence[float], first: int, mass: float) -> tuple[Run, ...]:
    """The highest level set of at least this mass, as runs."""
    return runs(probabilities, first, threshold(sorted(probabilities, reverse=True), mass))
