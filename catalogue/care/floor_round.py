"""Circles and bars side by side on a round floor: pieces that stand in a tub, pieces that lie in it.

Pure geometry, and a plain way of trying: a layout is found where there is room to spare; it never says "fits"
without having found one.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

# Fingers of a gloved hand, and acid that has to reach the glass on every side: our own figure.
GAP_MM = 4.0


@dataclass(frozen=True, slots=True)
class Size:
    """A piece as the vessel sees it, mm."""

    height_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the middle of a standing piece goes, mm from the middle of the vessel."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class Disc:
    """A round floor."""

    across_mm: float

    def stand(self, widths: Sequence[float]) -> list[Spot]:
        """Circles in the circle, the widest first, each as far out as it touches; those that fit."""
        spots: list[Spot] = []
        for width in sorted(widths, reverse=True):
            reach = (self.across_mm - width) / 2
            if reach < 0:
                continue
            places = [(reach * math.cos(a), reach * math.sin(a)) for a in _turns(spots, reach, width)]
            places += [
                p
                for i, a in enumerate(spots)
                for b in spots[:i]
                for p in touching(a, b, width)
                if math.hypot(*p) <= reach + 1e-9
            ]
            places.append((0.0, 0.0))
            free = [p for p in places if is_free(p, width, spots)]
            if free:
                best = max(free, key=lambda p: (round(math.hypot(*p), 3), -round(p[1], 3), -round(p[0], 3)))
                spots.append(Spot(*best, width))
        return spots

    def lay(self, pieces: Sequence[Size]) -> set[int]:
        """Which of them lie parallel across it: bars from the middle outward, on either side in turn."""
        laid: set[int] = set()
        up = down = 0.0
        for place, piece in enumerate(pieces):
            edges = [(up, 1), (down, -1)] if up <= down else [(down, -1), (up, 1)]
            for edge, side in edges:
                first = not laid
                far = piece.width_mm / 2 if first else edge + GAP_MM + piece.width_mm
                if (
                    far * 2 < self.across_mm
                    and math.sqrt(self.across_mm**2 - (2 * far) ** 2) >= piece.height_mm
                ):
                    laid.add(place)
                    if first:
                        up = down = far
                    elif side > 0:
                        up = far
                    else:
                        down = far
                    break
        return laid


def _turns(spots: Sequence[Spot], reach: float, width: float) -> list[float]:
    """Angles along the wall: straight ahead, and where it just touches a piece that stands there."""
    angles = [0.0]
    for spot in spots:
        far, apart = math.hypot(spot.x, spot.y), (spot.width + width) / 2 + GAP_MM
        if far and reach:
            cosine = (far * far + reach * reach - apart * apart) / (2 * far * reach)
            if -1 <= cosine <= 1:
                at, by = math.atan2(spot.y, spot.x), math.acos(cosine)
                angles += [at + by, at - by]
    return angles


def touching(a: Spot, b: Spot, width: float) -> list[tuple[float, float]]:
    """The two places where a circle of that width touches both others."""
    ra, rb = (a.width + width) / 2 + GAP_MM, (b.width + width) / 2 + GAP_MM
    dx, dy = b.x - a.x, b.y - a.y
    d = math.hypot(dx, dy)
    if not d or d > ra + rb or d < abs(ra - rb):
        return []
    along = (ra * ra - rb * rb + d * d) / (2 * d)
    off = math.sqrt(max(0.0, ra * ra - along * along))
    x, y = a.x + along * dx / d, a.y + along * dy / d
    return [(x + off * dy / d, y - off * dx / d), (x - off * dy / d, y + off * dx / d)]


def is_free(place: tuple[float, float], width: float, spots: Sequence[Spot]) -> bool:
    """Whether a circle there keeps its gap from all others."""
    return all(
        math.hypot(place[0] - s.x, place[1] - s.y) >= (width + s.width) / 2 + GAP_MM - 1e-6 for s in spots
    )
