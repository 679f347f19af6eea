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
    h0, h1, span = run[0], run[-1], len(run) - 1
    if span < 2:
        return [[first + i, round(height, 3)] for i, height in enumerate(run)]
    if max(run) - min(run) > SLACK:  # else no year can be off the line by more
        rise = h1 - h0
        off = [abs(height - (h0 + rise * i / span)) for i, height in enumerate(run)]
        worst = max(off)
        if worst > SLACK:
            at = off.index(worst)
            return _fewest(first, run[: at + 1])[:-1] + _fewest(first + at, run[at:])
    return [[first, round(h0, 3)], [first + span, round(h1, 3)]]


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
