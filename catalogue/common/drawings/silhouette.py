"""The outline of a vessel, for a find without a picture: as glass, or dashed to scale on a plate of finds."""

from collections.abc import Sequence

from catalogue.common.drawings.profiles import VESSEL_PROFILES, ProfilePoints, VesselProfile
from catalogue.common.drawings.svg import drawing, key, num, path

_WIDTH, _HEIGHT, _MARGIN = 120.0, 160.0, 8.0
_RIBBED = frozenset({"poison"})
_SLIMMEST, _STOUTEST = 0.12, 1.6


def silhouette(
    kind: str = "other",
    *,
    profile: Sequence[tuple[float, float]] | None = None,
    height_mm: float | None = None,
    diameter_mm: float | None = None,
    words: str = "",
) -> str:
    """A vessel of that kind, as slim as its own sizes say where both are known.

    ``profile`` replaces the usual outline: (height from the foot, half width), each from 0 to 1. Leave
    ``words`` empty where a caption stands beside it.
    """
    body, _, _ = vessel(kind, profile=profile, height_mm=height_mm, diameter_mm=diameter_mm)
    return drawing(_WIDTH, _HEIGHT, body, words=words, kind=f"silhouette silhouette-{_safe(kind)}")


def elevation(kind: str, *, height_mm: float, diameter_mm: float | None = None, px_per_mm: float) -> str:
    """The bare outline of a vessel to scale, cut close, so that several stand on one ground line.

    Its height on the page is ``height_mm * px_per_mm`` in CSS pixels.
    """
    points, radius, tall = _measures(kind, None, height_mm, diameter_mm)
    unit = height_mm * px_per_mm / tall
    outline = path(_outline(points, radius, tall, radius, tall), "elevation-line")
    size = f'width="{num(2 * radius * unit)}" height="{num(tall * unit)}"'
    box = f"0 0 {num(2 * radius)} {num(tall)}"
    return f'<svg class="elevation" {size} viewBox="{box}" aria-hidden="true">{outline}</svg>'


BAR_PX = 6.0


def scale_bar(length_mm: float, px_per_mm: float) -> str:
    """An upright bar of that length to scale, its upper half filled, as plates of finds have one."""
    tall = length_mm * px_per_mm
    size = f'width="{num(BAR_PX)}" height="{num(tall)}" viewBox="0 0 {num(BAR_PX)} {num(tall)}"'
    rest = f'x=".75" y=".75" width="{num(BAR_PX - 1.5)}" height="{num(tall - 1.5)}"'
    filled = f'width="{num(BAR_PX)}" height="{num(tall / 2)}"'
    parts = f'<rect class="bar-line" {rest}/><rect class="bar-fill" {filled}/>'
    return f'<svg class="scale-bar" {size} aria-hidden="true">{parts}</svg>'


def profile_of(kind: str) -> VesselProfile:
    """The profile of a kind of vessel, that of "other" where there is none of its own."""
    return VESSEL_PROFILES.get(kind, VESSEL_PROFILES["other"])


def vessel(
    kind: str,
    *,
    profile: Sequence[tuple[float, float]] | None = None,
    height_mm: float | None = None,
    diameter_mm: float | None = None,
) -> tuple[str, float, float]:
    """The parts of the drawing, and its greatest radius and height in the drawing's units."""
    points, radius, tall = _measures(kind, profile, height_mm, diameter_mm)
    middle, foot = _WIDTH / 2, _HEIGHT - _MARGIN
    outline = _outline(points, middle, foot, radius, tall)
    name = key("glass", kind, num(radius), num(tall), points)
    shade = f'cx="{num(middle)}" cy="{num(foot)}" rx="{num(radius * 1.12)}" ry="3.2"'
    body = [
        _glass(name, middle - radius, middle + radius),
        f'<ellipse class="vessel-shade" {shade}/>',
        path(outline, "vessel", f'fill="url(#{name})"'),
        _shine(points, middle, foot, radius, tall),
    ]
    if kind in _RIBBED:
        body.append(_ribs(middle, foot, radius, tall))
    body.append(_lip(points, middle, foot, radius, tall))
    return "".join(body), radius, tall


def _measures(
    kind: str,
    profile: Sequence[tuple[float, float]] | None,
    height_mm: float | None,
    diameter_mm: float | None,
) -> tuple[ProfilePoints, float, float]:
    """The points of its outline, and its greatest radius and height in the drawing's units."""
    points, slimness = profile_of(kind)
    if profile:
        points = tuple(profile)
    if height_mm and diameter_mm and height_mm > 0 and diameter_mm > 0:
        slimness = min(_STOUTEST, max(_SLIMMEST, diameter_mm / height_mm))
    tall = min(_HEIGHT - 2 * _MARGIN, (_WIDTH - 2 * _MARGIN) / slimness)
    return points, tall * slimness / 2, tall


def _safe(kind: str) -> str:
    """A kind as a class name: only what may stand in one."""
    return (
        "".join(char for char in kind.lower() if char.isascii() and (char.isalnum() or char == "-"))
        or "other"
    )


def _outline(points: ProfilePoints, middle: float, foot: float, radius: float, tall: float) -> str:
    right = [(middle + half * radius, foot - up * tall) for up, half in points]
    left = [(middle - half * radius, foot - up * tall) for up, half in reversed(points)]
    return f"{_curve(right, 'M')}{_curve(left, 'L')}Z"


def _curve(points: list[tuple[float, float]], begin: str) -> str:
    """A soft line through the points; upright and level stretches stay straight, so lips keep their edge."""
    parts = [f"{begin}{num(points[0][0])} {num(points[0][1])}"]
    for place in range(len(points) - 1):
        (x0, y0), (x1, y1) = points[place], points[place + 1]
        if abs(y1 - y0) < 2.2 or abs(x1 - x0) < 0.05:
            parts.append(f"L{num(x1)} {num(y1)}")
            continue
        before = points[max(0, place - 1)]
        after = points[min(len(points) - 1, place + 2)]
        a = _handle(before, (x0, y0), (x1, y1))
        b = _handle(after, (x1, y1), (x0, y0))
        parts.append(f"C{num(a[0])} {num(a[1])} {num(b[0])} {num(b[1])} {num(x1)} {num(y1)}")
    return "".join(parts)


def _handle(
    before: tuple[float, float], here: tuple[float, float], after: tuple[float, float]
) -> tuple[float, float]:
    """The handle at ``here`` towards ``after``, along the line through its neighbours, a third of the way."""
    lean_x, lean_y = after[0] - before[0], after[1] - before[1]
    if lean_y == 0 or abs(here[0] - before[0]) < 0.05:
        lean_x = 0.0  # leave a straight wall straight on
    reach = (after[1] - here[1]) / 2.6
    slope = lean_x / lean_y if lean_y else 0.0
    return here[0] + slope * reach, here[1] + reach


def _glass(name: str, left: float, right: float) -> str:
    """Thick and dark at the walls, thin and light between: glass with light behind it."""
    stops = "".join(
        f'<stop class="vessel-stop" offset="{num(at)}" stop-opacity="{num(shown)}"/>'
        for at, shown in ((0, 0.85), (0.13, 0.42), (0.42, 0.2), (0.7, 0.3), (0.88, 0.5), (1, 0.9))
    )
    return (
        f'<defs><linearGradient id="{name}" gradientUnits="userSpaceOnUse" x1="{num(left)}" '
        f'x2="{num(right)}" y1="0" y2="0">{stops}</linearGradient></defs>'
    )


def _width_at(points: ProfilePoints, up: float) -> float:
    for (low, half), (high, after) in zip(points, points[1:], strict=False):
        if low <= up <= high and high > low:
            return half + (after - half) * (up - low) / (high - low)
    return points[-1][1]


def _shine(points: ProfilePoints, middle: float, foot: float, radius: float, tall: float) -> str:
    """A strip of light down the left side of the body."""
    body = [up / 100 for up in range(8, 62, 3) if _width_at(points, up / 100) > 0.8]
    if len(body) < 2:
        return ""
    low, high = body[0] + 0.02, body[-1] - 0.02
    x_low = middle - radius * _width_at(points, low) * 0.66
    x_high = middle - radius * _width_at(points, high) * 0.66
    return path(
        f"M{num(x_low)} {num(foot - low * tall)}L{num(x_high)} {num(foot - high * tall)}", "vessel-shine"
    )


def _ribs(middle: float, foot: float, radius: float, tall: float) -> str:
    lines = "".join(
        f"M{num(middle + side * radius)} {num(foot - 0.08 * tall)}V{num(foot - 0.66 * tall)}"
        for side in (-0.45, -0.15, 0.15, 0.45)
    )
    return path(lines, "vessel-line")


def _lip(points: ProfilePoints, middle: float, foot: float, radius: float, tall: float) -> str:
    """The line under the lip, where the outline steps out."""
    for (low, half), (high, after) in zip(points, points[1:], strict=False):
        if low > 0.7 and high - low < 0.011 and after > half:
            y = num(foot - high * tall)
            return path(f"M{num(middle - after * radius)} {y}H{num(middle + after * radius)}", "vessel-line")
    return ""
