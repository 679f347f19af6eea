"""The year ruler, small on a card; and what every ruler is drawn from: a band of likely years, bars, a fade.

A curve becomes the path of an area, its polyline simplified; an open side fades out.
"""

from collections.abc import Sequence

from catalogue.common.drawings.scale import Curve, YearBounds, YearScale
from catalogue.common.drawings.svg import drawing, key, num, path, text

_JUMP = 0.22  # of the peak: a change of this much from one year to the next is drawn as a step
_FADE = 0.3  # of the band's length over which an open side fades
_MIN_BAR = 3.0  # units: one year must stay visible on a card
_OPEN = (1000, 2999)  # what stands for "without end"; no scale goes so far


class CleanCurve(list[tuple[int, float]]):
    """A curve that went through `clean_curve`, so that no part of a drawing need clean it anew."""


def small_ruler(
    scale: YearScale,
    *,
    curve: Curve = (),
    years: Sequence[int] | None = None,
    window: YearBounds = (None, None),
    words: str = "not yet dated",
    labels: bool = True,
) -> str:
    """For a card: a band or candidate years on a thin scale; about 180 units wide.

    ``curve`` has a height per year (any unit), ``years`` are separate candidates, ``window`` tells which
    side is open. Without any of them the scale is drawn empty.
    """
    base, height = 19.0, 15.0
    body = [line(scale.x(year), base, scale.x(year), base + 3, "rule-line") for year in scale.ticks(7)]
    drawn = band(scale, curve, years, window, base, height)
    axis = "rule-axis" if drawn else "rule-axis rule-empty"
    body += [drawn, line(scale.left, base, scale.right, base, axis)]
    if labels:
        body += [
            text(x, base + 14, year, "rule-label", 10.5, anchor=at) for year, x, at in _end_labels(scale)
        ]
    return drawing(
        scale.right,
        base + (17 if labels else 4),
        "".join(body),
        words=f"Year ruler: {words}",
        kind="ruler ruler-small",
    )


def _end_labels(scale: YearScale) -> list[tuple[int, float, str]]:
    """Two to five round years of a small scale: centuries on a long one, decades on a short one."""
    chosen = scale.ticks(scale.width / 5)
    for step in (100, 50, 20):
        rounder = list(range(-(-scale.first // step) * step, scale.last + 1, step))
        if 2 <= len(rounder) <= 5 and scale.per_year * step >= 32:
            chosen = rounder
            break
    placed = []
    for year in chosen:
        x = scale.x(year)
        at = "start" if x < scale.left + 12 else "end" if x > scale.right - 12 else "middle"
        placed.append((year, x, at))
    return placed


def band(
    scale: YearScale,
    curve: Curve,
    years: Sequence[int] | None,
    window: YearBounds,
    base: float,
    height: float,
) -> str:
    """The curve as a band, or a bar per candidate year; empty where there is neither."""
    if years:
        faint = path(area(curve, scale, base=base, height=height), "rule-under") if curve else ""
        found = bars(tuple(years), curve, scale, base=base, height=height)
        return faint + "".join(element for _, _, element in found)
    first, last = window
    curve = clean_curve(curve)
    if not curve:
        if first is None and last is None:
            return ""
        curve = clean_curve(even_curve(first, last))
    left, right = ends(curve, scale)
    goes_left, goes_right = beyond(curve, scale)
    dated = first is not None or last is not None
    definition, paint = fade_gradient(
        left,
        right,
        goes_left or (dated and first is None),
        goes_right or (dated and last is None),
        "rule-fade",
    )
    data = area(curve, scale, base=base, height=height)
    if not data:
        return arrow(scale, goes_left, base, height)
    if scale.per_year * len([1 for _, value in curve if value > 0]) < 3:
        return path(f"M{num(left - 1)} {num(base)}v-{num(height)}h3v{num(height)}z", "rule-tick")
    return definition + path(data, "rule-fading" if paint else "rule-band", paint)


def bars(
    years: tuple[int, ...], curve: Curve, scale: YearScale, *, base: float, height: float
) -> list[tuple[int, float, str]]:
    """A bar per candidate year, as tall as it is likely: (year, its top, element)."""
    heights = dict(curve)
    tallest = max((heights.get(year, 0.0) for year in years), default=0.0)
    width = max(_MIN_BAR, min(scale.per_year * 0.9, 9.0))
    found = []
    for year in years:
        if not scale.first <= year < scale.last:
            continue
        part = max(0.18, heights.get(year, 0.0) / tallest) if tallest > 0 else 1.0
        top = base - part * height
        x = scale.middle(year) - width / 2
        found.append(
            (
                year,
                top,
                f'<rect class="rule-tick" x="{num(x)}" y="{num(top)}" width="{num(width)}" '
                f'height="{num(base - top)}" rx="0.8"/>',
            )
        )
    return found


def area(
    curve: Curve,
    scale: YearScale,
    *,
    base: float,
    height: float,
    peak: float | None = None,
    level: bool = False,
) -> str:
    """Path data of a curve standing on ``base``, cut at the scale's ends; empty where nothing is on it.

    ``level``: every year a level step, as counts of pieces are; else small changes are joined by slopes.
    """
    points = [(year, value) for year, value in clean_curve(curve) if scale.first <= year < scale.last]
    tallest = peak or max((value for _, value in points), default=0.0)
    if not points or tallest <= 0:
        return ""

    def y(value: float) -> float:
        return base - min(1.0, value / tallest) * height

    corners = [(scale.x(points[0][0]), base), (scale.x(points[0][0]), y(points[0][1]))]
    for (year, value), (_, after) in zip(points, [*points[1:], (0, -1.0)], strict=True):
        if after < 0:
            break
        if level or abs(after - value) > _JUMP * tallest:
            corners += [(scale.x(year + 1), y(value)), (scale.x(year + 1), y(after))]
        else:
            corners.append((scale.x(year + 1), y((value + after) / 2)))
    end = scale.x(points[-1][0] + 1)
    corners += [(end, y(points[-1][1])), (end, base)]
    return "M" + "L".join(f"{num(x)} {num(level)}" for x, level in _simplified(corners)) + "Z"


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


def ends(curve: Curve, scale: YearScale) -> tuple[float, float]:
    """The x between which the curve is drawn."""
    points = clean_curve(curve)
    if not points:
        return scale.left, scale.left
    return scale.kept(scale.x(points[0][0])), scale.kept(scale.x(points[-1][0] + 1))


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


def fade_gradient(left: float, right: float, open_left: bool, open_right: bool, kind: str) -> tuple[str, str]:
    """A gradient that fades at open sides: its definition and the paint that refers to it, or both empty."""
    if not (open_left or open_right) or right <= left:
        return "", ""
    name = key("fade", num(left), num(right), open_left, open_right, kind)
    near = _FADE if not (open_left and open_right) else _FADE * 0.75
    stops = []
    for offset, shown in (
        (0.0, 0.0 if open_left else 1.0),
        (near, 1.0),
        (1 - near, 1.0),
        (1.0, 0.0 if open_right else 1.0),
    ):
        stops.append(f'<stop class="{kind}" offset="{num(offset)}" stop-opacity="{num(shown)}"/>')
    definition = (
        f'<defs><linearGradient id="{name}" gradientUnits="userSpaceOnUse" x1="{num(left)}" '
        f'x2="{num(right)}" y1="0" y2="0">{"".join(stops)}</linearGradient></defs>'
    )
    return definition, f'fill="url(#{name})"'


def arrow(scale: YearScale, left: bool, base: float, height: float) -> str:
    """An arrow at the edge: what is meant lies beyond this scale."""
    x, step = (scale.left + 1, 5) if left else (scale.right - 1, -5)
    middle = base - height / 2
    return path(
        f"M{num(x + step)} {num(middle - 4)}L{num(x)} {num(middle)}L{num(x + step)} {num(middle + 4)}",
        "rule-arrow",
    )


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """A straight line with its class."""
    return f'<path class="{kind}" d="M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}"/>'
