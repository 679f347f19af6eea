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
    heights = [p / top for p in probabilities]
    curve: list[list[float]] = []
    begin = None
    for at, height in enumerate([*heights, 0.0]):
        if height >= LOWEST:
            begin = at if begin is None else begin
        elif begin is not None:
            if curve:
                # a gap between runs goes down to nothing on both sides
                curve += [[curve[-1][0] + 1, 0.0], [first + begin - 1, 0.0]]
            curve += _fewest(first + begin, heights[begin:at])
            begin = None
    return curve


def _fewest(first: int, run: list[float]) -> list[list[float]]:
    """The points for heights from year `first` on, each year's."""
    if len(run) < 3:
        return [[first + i, round(height, 3)] for i, height in enumerate(run)]
    # inside a level stretch no year is farther from any line than both its ends: most years are skipped
    level = zip(run, run[1:], run[2:], strict=False)
    knots = [0, *(i for i, (a, b, c) in enumerate(level, 1) if not a == b == c), len(run) - 1]
    return [[first + i, round(run[i], 3)] for i in _bends(run, knots)]


def _bends(run: list[float], knots: list[int]) -> list[int]:
    """Of the knots those to keep, both ends among them."""
    low, high = knots[0], knots[-1]
    begin, span = run[low], high - low
    heights = [run[i] for i in knots]
    if max(heights) - min(heights) > SLACK:  # else none can be off the line by more
        rise = run[high] - begin
        off = [abs(run[i] - (begin + rise * (i - low) / span)) for i in knots]
        worst = max(off)
        if worst > SLACK:
            at = off.index(worst)
            return _bends(run, knots[: at + 1])[:-1] + _bends(run, knots[at:])
    return [low, high]


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
