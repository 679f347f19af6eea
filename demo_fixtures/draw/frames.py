"""Frames and small figures of a mark, drawn as lines on a mask."""

from math import cos, pi, sin

from PIL import ImageDraw

Point = tuple[float, float]


def frame(pen: ImageDraw.ImageDraw, name: str, centre: Point, half: float, line_px: int) -> None:
    """Draw the frame called `name` about `half` pixels from its middle; raises KeyError if unknown."""
    x, y = centre
    if name == "circle":
        pen.ellipse((x - half, y - half, x + half, y + half), outline=255, width=line_px)
        return
    if name == "oval":
        pen.ellipse(
            (x - half * 1.3, y - half * 0.85, x + half * 1.3, y + half * 0.85), outline=255, width=line_px
        )
        return
    points = [(x + half * px, y + half * py) for px, py in CORNERS[name]]
    pen.line([*points, points[0], points[1]], fill=255, width=line_px, joint="curve")


def _ring(corners: int, start: float, radius: float = 1.15) -> tuple[Point, ...]:
    turns = [start + 2 * pi * n / corners for n in range(corners)]
    return tuple((radius * sin(t), -radius * cos(t)) for t in turns)


CORNERS: dict[str, tuple[Point, ...]] = {
    "square": ((-0.95, -0.95), (0.95, -0.95), (0.95, 0.95), (-0.95, 0.95)),
    "rectangle": ((-1.35, -0.75), (1.35, -0.75), (1.35, 0.75), (-1.35, 0.75)),
    "diamond": ((0, -1.2), (1.5, 0), (0, 1.2), (-1.5, 0)),
    "hexagon": _ring(6, pi / 6, 1.22),
    "octagon": _ring(8, pi / 8),
    "triangle": ((0, -1.35), (1.35, 0.95), (-1.35, 0.95)),
    "shield": ((-1, -1), (1, -1), (1, 0.2), (0.6, 0.85), (0, 1.25), (-0.6, 0.85), (-1, 0.2)),
    "keystone": ((-1.2, -0.95), (1.2, -0.95), (0.75, 1.05), (-0.75, 1.05)),
}


def figure(pen: ImageDraw.ImageDraw, name: str, centre: Point, half: float, line_px: int) -> None:
    """Draw a wave, a star or an anchor; raises KeyError if unknown."""
    x, y = centre
    if name == "star":
        points = [
            (x + half * r * sin(pi * n / 5), y - half * r * cos(pi * n / 5))
            for n, r in enumerate([1.0, 0.42] * 5)
        ]
        pen.polygon(points, fill=255)
        return
    for line in LINES[name]:
        pen.line([(x + half * px, y + half * py) for px, py in line], fill=255, width=line_px, joint="curve")


LINES: dict[str, tuple[tuple[Point, ...], ...]] = {
    "wave": (tuple((-1.6 + 3.2 * n / 40, 0.28 * sin(2 * pi * n / 40 * 2.5)) for n in range(41)),),
    "anchor": (
        ((0, -0.9), (0, 0.85)),
        ((-0.4, -0.55), (0.4, -0.55)),
        tuple((0.75 * sin(t * pi / 16), 0.1 + 0.75 * cos(t * pi / 16)) for t in range(-8, 9)),
    ),
}
