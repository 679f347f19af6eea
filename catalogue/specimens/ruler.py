"""The shape of a find's years, small enough to be stored with it."""

from collections.abc import Sequence

LOWEST = 0.01
SLACK = 0.008


def ruler_curve(first: int, probabilities: Sequence[float]) -> list[list[float]]:
    """Years against height (1 at the most probable year), as the fewest points a straight line joins.

    Years lower than a hundredth of the highest are left out; the line is within `SLACK` of every year.
    """
    top = max(probabilities, default=0.0)
    if not top:
        return []
    points = [(first + i, p / top) for i, p in enumerate(probabilities) if p / top >= LOWEST]
    curve: list[list[float]] = []
    run: list[tuple[int, float]] = []
    for point in points:
        if run and point[0] != run[-1][0] + 1:
            curve += _fewest(run)
            # a gap between runs goes down to nothing on both sides
            curve += [[run[-1][0] + 1, 0.0], [point[0] - 1, 0.0]]
            run = []
        run.append(point)
    return curve + _fewest(run)


def _fewest(run: list[tuple[int, float]]) -> list[list[float]]:
    if len(run) < 3:
        return [[year, round(height, 3)] for year, height in run]
    (y0, h0), (y1, h1) = run[0], run[-1]
    worst, at = 0.0, 0
    for i, (year, height) in enumerate(run):
        off = abs(height - (h0 + (h1 - h0) * (year - y0) / (y1 - y0)))
        if off > worst:
            worst, at = off, i
    if worst <= SLACK:
        return [[y0, round(h0, 3)], [y1, round(h1, 3)]]
    return _fewest(run[: at + 1])[:-1] + _fewest(run[at:])


def per_year(curve: Sequence[Sequence[float]]) -> list[tuple[int, float]]:
    """A stored curve as a height for each year, as the drawings take it."""
    if len(curve) < 2:
        return [(int(year), float(height)) for year, height in curve]
    years: list[tuple[int, float]] = []
    for (y0, h0), (y1, h1) in zip(curve, curve[1:], strict=False):
        span = int(y1 - y0)
        years += [(int(y0) + i, h0 + (h1 - h0) * i / span) for i in range(span)]
    years.append((int(curve[-1][0]), float(curve[-1][1])))
    return years
