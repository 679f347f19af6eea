"""The shape of a find's years, small enough to be stored with it: polyline simplification
(Douglas–Peucker, with the distance taken upwards only)."""

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
    heights = [run[i] for i in knots]
    return [[first + knots[n], round(run[knots[n]], 3)] for n in _bends(knots, heights)]


def _bends(knots: list[int], heights: list[float]) -> list[int]:
    """Which knots to keep, by their numbers in the list, both ends among them."""
    kept = [0]
    left = [(0, len(knots) - 1)]
    while left:
        low, high = left.pop()
        between = heights[low + 1 : high]
        begin, end = heights[low], heights[high]
        # knots between that are no higher and no lower than both ends by more can't be off the line
        if between and max(begin, end, *between) - min(begin, end, *between) > SLACK:
            rise, span, start = end - begin, knots[high] - knots[low], knots[low]
            off = [
                abs(height - (begin + rise * (knot - start) / span))
                for knot, height in zip(knots[low + 1 : high], between, strict=True)
            ]
            worst = max(off)
            if worst > SLACK:
                at = low + 1 + off.index(worst)
                left += [(at, high), (low, at)]
                continue
        kept.append(high)
    return kept
