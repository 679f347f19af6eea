"""A bottle's lip as a small sketch, so that it is known by its shape and not by its name."""

from catalogue.common.drawings.lip_shapes import LIPS, HeightSpan, Lip, LipOutline
from catalogue.common.drawings.svg import drawing, num, path

_WIDTH, _HEIGHT, _FOOT, _MIDDLE = 60.0, 48.0, 45.0, 30.0
_SEAM_AT = 0.45  # of the half width: a seam is seen a little to the side of the middle


def lip(feature: str, *, words: str = "") -> str:
    """The sketch of a lip by its feature's id; empty for a feature that is not a lip."""
    shape = LIPS.get(feature)
    if shape is None:
        return ""
    top = max(up for _, up in shape.outside)
    parts = [path(f"{_side(shape.outside, 1)}{_back(shape.outside)}Z", "lip-glass")]
    bore = tuple((half, min(up, top)) for half, up in shape.bore)
    parts += [path(_side(bore, side), "lip-bore") for side in (1, -1)]
    if shape.thread:
        parts.append(_thread(shape.outside, shape.thread, shape.turns))
    if shape.inside_thread:
        parts.append(_thread(bore, shape.inside_thread, 4, "lip-bore-line"))
    if shape.lugs:
        parts.append(_lugs(shape.outside, shape.lugs))
    parts += [_across(shape.outside, up, "lip-ring") for up in shape.rings]
    if shape.added is not None:
        parts.append(_across(shape.outside, shape.added, "lip-line"))
    if shape.seam is not None:
        parts.append(_seam(shape, shape.seam))
    if shape.ball is not None:
        parts.append(f'<circle class="lip-ball" cx="{num(_MIDDLE)}" cy="{num(_FOOT - shape.ball)}" r="5.4"/>')
    parts.append(_rough(shape.outside, top) if shape.rough else "")
    return drawing(_WIDTH, _HEIGHT, "".join(parts), words=words, kind="lip")


def _at(half: float, up: float, side: int) -> str:
    return f"{num(_MIDDLE + side * half)} {num(_FOOT - up)}"


def _side(points: LipOutline, side: int) -> str:
    return "M" + "L".join(_at(half, up, side) for half, up in points)


def _back(points: LipOutline) -> str:
    return "".join(f"L{_at(half, up, -1)}" for half, up in reversed(points))


def width_at(points: LipOutline, up: float) -> float:
    """The half width at a height; the widest where the outline steps."""
    found = [
        low + (high - low) * ((up - a) / (b - a) if b != a else 1.0)
        for (low, a), (high, b) in zip(points, points[1:], strict=False)
        if min(a, b) <= up <= max(a, b)
    ]
    return max(found, default=points[-1][0])


def _across(points: LipOutline, up: float, kind: str) -> str:
    half = width_at(points, up)
    return path(f"M{_at(half, up, -1)}L{_at(half, up, 1)}", kind)


def _thread(points: LipOutline, span: HeightSpan, turns: int, kind: str = "lip-line") -> str:
    low, high = span
    pitch = (high - low) / turns
    lines = []
    for turn in range(turns):
        start = low + turn * pitch
        end = start + pitch * 0.6
        lines.append(
            f"M{_at(width_at(points, start) + 0.8, start, -1)}L{_at(width_at(points, end) + 0.8, end, 1)}"
        )
    return path("".join(lines), kind)


def _lugs(points: LipOutline, span: HeightSpan) -> str:
    low, high = span
    lines = [
        f"M{num(_MIDDLE + at)} {num(_FOOT - low)}L{num(_MIDDLE + at + 8)} {num(_FOOT - high)}"
        for at in (-19, -4, 11)
    ]
    return path("".join(lines), "lip-line")


def _seam(shape: Lip, reach: float) -> str:
    """The side seam along the outside as high as it runs."""
    heights = [0.0, *(up for _, up in shape.outside if 0 < up < reach), reach]
    points = tuple((width_at(shape.outside, up) * _SEAM_AT, up) for up in dict.fromkeys(sorted(heights)))
    return path(_side(points, 1), "lip-seam")


def _rough(points: LipOutline, top: float) -> str:
    """A broken or ground rim: small teeth along it."""
    half = width_at(points, top)
    steps = [(-half + 2 * half * n / 10, top + (1.6 if n % 2 else 0.0)) for n in range(11)]
    return path("M" + "L".join(f"{num(_MIDDLE + x)} {num(_FOOT - up)}" for x, up in steps), "lip-rough")
