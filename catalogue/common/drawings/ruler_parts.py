"""Parts of a year ruler: the band of a curve, its fading ends, the axis, single years."""

from catalogue.common.drawings.scale import Curve, YearScale
from catalogue.common.drawings.svg import key, num

_JUMP = 0.22  # of the peak: a change of this much from one year to the next is drawn as a step
_FADE = 0.3  # of the band's length over which an open side fades
_MIN_BAR = 3.0  # units: one year must stay visible on a card


class Tidy(list[tuple[int, float]]):
    """A curve that went through `tidy`, so that the parts of one drawing need not tidy it each anew."""


def tidy(curve: Curve) -> Tidy:
    """Sorted, gaps filled with zero, nothing below it; empty where there is no height at all."""
    if isinstance(curve, Tidy):
        return curve
    heights = {year: max(0.0, height) for year, height in curve}
    tallest = max(heights.values(), default=0.0)
    used = [year for year, height in heights.items() if height > tallest * 1e-4]
    if not used or tallest <= 0:
        return Tidy()
    return Tidy((year, heights.get(year, 0.0)) for year in range(min(used), max(used) + 1))


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
    points = [(year, value) for year, value in tidy(curve) if scale.first <= year < scale.last]
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
    return "M" + "L".join(f"{num(x)} {num(level)}" for x, level in _thinned(corners)) + "Z"


def _thinned(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Without corners that lie on the line between their neighbours, to keep pages light."""
    kept = corners[:1]
    for place, (x, y) in enumerate(corners[1:-1], start=1):
        (x0, y0), (x1, y1) = kept[-1], corners[place + 1]
        if abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) > 0.02 * (abs(x1 - x0) + abs(y1 - y0)):
            kept.append((x, y))
    return [*kept, corners[-1]]


def beyond(curve: Curve, scale: YearScale) -> tuple[bool, bool]:
    """Whether the curve goes on past the left and the right end of the scale."""
    points = tidy(curve)
    if not points:
        return False, False
    floor = max(value for _, value in points) * 0.02
    return (
        any(year < scale.first and value > floor for year, value in points),
        any(year >= scale.last and value > floor for year, value in points),
    )


def ends(curve: Curve, scale: YearScale) -> tuple[float, float]:
    """The x between which the curve is drawn."""
    points = tidy(curve)
    if not points:
        return scale.left, scale.left
    return scale.kept(scale.x(points[0][0])), scale.kept(scale.x(points[-1][0] + 1))


def fading(left: float, right: float, open_left: bool, open_right: bool, kind: str) -> tuple[str, str]:
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


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """A straight line with its class."""
    return f'<path class="{kind}" d="M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}"/>'
