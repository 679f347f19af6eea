"""From a curve over the years to path data: cut at the ends of the axis, simplified, faded at open sides."""

from collections.abc import Callable, Sequence

from catalogue.common.drawings.svg import key, num
from catalogue.common.drawings.year_axis import BEYOND, Curve, YearScale

HEIGHT = 40.0  # of a band, in the drawing's units; the style sheet says how tall that is
_JUMP = 0.22  # of the peak: a change of this much from one year to the next is drawn as a step
_FADE = 0.3  # of the band's length over which an open side fades
_OPEN = (1000, 2999)  # what stands for "without end"; no axis goes so far


class CleanCurve(list[tuple[int, float]]):
    """A curve that went through `clean_curve`, so that no part of a drawing need clean it anew."""


def area(curve: Curve, scale: YearScale, *, level: bool = False) -> str:
    """Path data of a curve standing on the axis; what lies beyond fills the strip at that end.

    `level`: every year a level step, as counts of pieces are; else small changes are joined by slopes.
    """
    whole = clean_curve(curve)
    tallest = max((value for _, value in whole), default=0.0)
    if tallest <= 0:
        return ""
    goes_left, goes_right = beyond(whole, scale)
    points = [(year, value) for year, value in whole if scale.first <= year < scale.last]

    def y(value: float) -> float:
        return HEIGHT * (1 - min(1.0, value / tallest))

    corners: list[tuple[float, float]] = []
    if goes_left:
        height = y(max(value for year, value in whole if year < scale.first))
        corners += [(scale.left - BEYOND, HEIGHT), (scale.left - BEYOND, height), (scale.left, height)]
    if points:
        corners += [(scale.x(points[0][0]), y(points[0][1]) if goes_left else HEIGHT)]
        corners += _line_of(points, scale, y, tallest, level)
    if goes_right:
        height = y(max(value for year, value in whole if year >= scale.last))
        if not points:
            corners.append((scale.right, HEIGHT))
        corners += [(scale.right, height), (scale.right + BEYOND, height), (scale.right + BEYOND, HEIGHT)]
    elif corners:
        corners.append((corners[-1][0], HEIGHT))
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in _simplified(corners)) + "Z" if corners else ""


def _line_of(
    points: Sequence[tuple[int, float]],
    scale: YearScale,
    y: Callable[[float], float],
    tallest: float,
    level: bool,
) -> list[tuple[float, float]]:
    """The upper edge over the years within the axis, from the first to the last."""
    corners = [(scale.x(points[0][0]), y(points[0][1]))]
    for (year, value), (_, after) in zip(points, points[1:], strict=False):
        if level or abs(after - value) > _JUMP * tallest:
            corners += [(scale.x(year + 1), y(value)), (scale.x(year + 1), y(after))]
        else:
            corners.append((scale.x(year + 1), y((value + after) / 2)))
    return [*corners, (scale.x(points[-1][0] + 1), y(points[-1][1]))]


def _simplified(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Polyline simplification: corners on the line between their neighbours go, to keep pages light.

    One pass by distance from the chord; the recursion of Douglas and Peucker finds no more in a curve of
    level steps and slopes.
    """
    kept = corners[:1]
    for place, (x, y) in enumerate(corners[1:-1], start=1):
        (x0, y0), (x1, y1) = kept[-1], corners[place + 1]
        if abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) > 0.02 * (abs(x1 - x0) + abs(y1 - y0)):
            kept.append((x, y))
    return [*kept, corners[-1]]


def clean_curve(curve: Curve) -> CleanCurve:
    """Sorted, gaps filled with zero, nothing below it; empty where there is no height at all."""
    if isinstance(curve, CleanCurve):
        return curve
    heights = {year: max(0.0, height) for year, height in curve}
    tallest = max(heights.values(), default=0.0)
    used = [year for year, height in heights.items() if height > tallest * 1e-4]
    if not used or tallest <= 0:
        return CleanCurve()
    return CleanCurve((year, heights.get(year, 0.0)) for year in range(min(used), max(used) + 1))


def even_curve(first: int | None, last: int | None) -> tuple[tuple[int, float], ...]:
    """Evenly from one year to another; None for without end."""
    start = _OPEN[0] if first is None else first
    stop = _OPEN[1] if last is None else last
    return tuple((year, 1.0) for year in range(start, stop + 1))


def beyond(curve: Curve, scale: YearScale) -> tuple[bool, bool]:
    """Whether the curve goes on past the left and the right end of the scale."""
    points = clean_curve(curve)
    if not points:
        return False, False
    floor = max(value for _, value in points) * 0.02
    return (
        any(year < scale.first and value > floor for year, value in points),
        any(year >= scale.last and value > floor for year, value in points),
    )


def ends(curve: Curve, scale: YearScale) -> tuple[float, float]:
    """The x between which the curve is drawn, the strips beyond the axis included."""
    points = clean_curve(curve)
    if not points:
        return scale.left, scale.left
    goes_left, goes_right = beyond(points, scale)
    left = scale.left - BEYOND if goes_left else scale.kept(scale.x(points[0][0]))
    return left, scale.right + BEYOND if goes_right else scale.kept(scale.x(points[-1][0] + 1))


def fade_gradient(left: float, right: float, open_left: bool, open_right: bool) -> tuple[str, str]:
    """A gradient that fades at open sides: its definition and the paint that refers to it, or both empty."""
    if not (open_left or open_right) or right <= left:
        return "", ""
    name = key("fade", num(left), num(right), open_left, open_right)
    near = _FADE if not (open_left and open_right) else _FADE * 0.75
    stops = []
    for offset, shown in (
        (0.0, 0.0 if open_left else 1.0),
        (near, 1.0),
        (1 - near, 1.0),
        (1.0, 0.0 if open_right else 1.0),
    ):
        stops.append(f'<stop class="rule-fade" offset="{num(offset)}" stop-opacity="{num(shown)}"/>')
    definition = (
        f'<defs><linearGradient id="{name}" gradientUnits="userSpaceOnUse" x1="{num(left)}" '
        f'x2="{num(right)}" y1="0" y2="0">{"".join(stops)}</linearGradient></defs>'
    )
    return definition, f'fill="url(#{name})"'
