"""Interval sets: the years that a piece of evidence allows at all, as stretches with open sides."""

from collections.abc import Iterable

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


def of_years(years: Iterable[int]) -> Spans:
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
