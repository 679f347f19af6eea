"""Lines on a vessel and pieces in it: a round vessel whose top and bottom may differ in width.

Pure geometry: the frustum of a cone (elementary), and a plain way of laying circles and bars side by side
that finds a layout where there is room to spare; it never says "fits" without having found one.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

# Fingers of a gloved hand, and acid that has to reach the glass on every side: our own figure.
GAP_MM = 4.0


@dataclass(frozen=True, slots=True)
class Shape:
    """Inside measures of a round vessel, mm."""

    top_mm: float
    bottom_mm: float
    height_mm: float

    @property
    def volume_ml(self) -> float:
        return self.volume_to(self.height_mm)

    def width_at(self, height_mm: float) -> float:
        """Inside diameter at that height above the bottom."""
        return self.bottom_mm + (self.top_mm - self.bottom_mm) * height_mm / self.height_mm

    def volume_to(self, height_mm: float) -> float:
        """ml up to a line at that height."""
        low, high = self.bottom_mm, self.width_at(height_mm)
        return math.pi * height_mm / 12 * (low * low + low * high + high * high) / 1000

    def height_of(self, volume_ml: float) -> float:
        """mm above the bottom at which that many ml stand; the vessel's height where they don't go in."""
        low, high = 0.0, self.height_mm
        if volume_ml >= self.volume_ml:
            return high
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.volume_to(middle) < volume_ml else (low, middle)
        return (low + high) / 2


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
class Fit:
    """How many pieces go in one way, under the line; `spots` where they stand, `layers` how they lie."""

    placed: int
    of: int
    why_not: str = ""
    spots: tuple[Spot, ...] = ()
    layers: int = 0

    @property
    def all(self) -> bool:
        return self.placed == self.of


def fit_standing(shape: Shape, depth_mm: float, pieces: Sequence[Size]) -> Fit:
    """Upright on the bottom and wholly under the line at `depth_mm`."""
    low = [piece for piece in pieces if piece.height_mm <= depth_mm]
    # The bottom may be the narrow end, the line the narrow one of a vessel that closes in upwards.
    room = min(shape.width_at(0), shape.width_at(depth_mm))
    spots = stand(room, [piece.width_mm for piece in low])
    tall = len(pieces) - len(low)
    why = ""
    if tall:
        why = f"{tall} would stand out of the liquid"
    elif len(spots) < len(low):
        why = "the bottom is full"
    return Fit(len(spots), len(pieces), why, tuple(spots))


def stand(room_mm: float, widths: Sequence[float]) -> list[Spot]:
    """Circles in a circle, the widest first, each as far out as it touches; those that fit."""
    spots: list[Spot] = []
    for width in sorted(widths, reverse=True):
        reach = (room_mm - width) / 2
        if reach < 0:
            continue
        places = [(reach * math.cos(a), reach * math.sin(a)) for a in _turns(spots, reach, width)]
        places += [
            p
            for i, a in enumerate(spots)
            for b in spots[:i]
            for p in _touching(a, b, width)
            if math.hypot(*p) <= reach + 1e-9
        ]
        places.append((0.0, 0.0))
        free = [p for p in places if _free(p, width, spots)]
        if free:
            best = max(free, key=lambda p: (round(math.hypot(*p), 3), -round(p[1], 3), -round(p[0], 3)))
            spots.append(Spot(*best, width))
    return spots


def fit_lying(shape: Shape, depth_mm: float, pieces: Sequence[Size]) -> Fit:
    """Side by side in layers, the widest lowest, until the line at `depth_mm`."""
    left = sorted(pieces, key=lambda piece: (-piece.width_mm, -piece.height_mm))
    foot, layers, placed = 0.0, 0, 0
    while left:
        thick = left[0].width_mm
        if foot + thick > depth_mm:
            break
        room = min(shape.width_at(foot), shape.width_at(foot + thick))
        laid = _lay(room, left)
        if not laid:
            break
        layers += 1
        placed += len(laid)
        left = [piece for place, piece in enumerate(left) if place not in laid]
        foot += thick + GAP_MM
    why = ""
    if left:
        longest = max(piece.height_mm for piece in left)
        why = "too long for it" if longest > shape.width_at(depth_mm) else "the layers reach the line"
    return Fit(placed, len(pieces), why, layers=layers)


def _lay(room_mm: float, pieces: Sequence[Size]) -> set[int]:
    """Which pieces lie parallel across one circle: bars from the middle outward, on either side in turn."""
    laid: set[int] = set()
    up = down = 0.0
    for place, piece in enumerate(pieces):
        edges = [(up, 1), (down, -1)] if up <= down else [(down, -1), (up, 1)]
        for edge, side in edges:
            first = not laid
            far = piece.width_mm / 2 if first else edge + GAP_MM + piece.width_mm
            if far * 2 < room_mm and math.sqrt(room_mm**2 - (2 * far) ** 2) >= piece.height_mm:
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


def _touching(a: Spot, b: Spot, width: float) -> list[tuple[float, float]]:
    """The two places where a circle touches both others."""
    ra, rb = (a.width + width) / 2 + GAP_MM, (b.width + width) / 2 + GAP_MM
    dx, dy = b.x - a.x, b.y - a.y
    d = math.hypot(dx, dy)
    if not d or d > ra + rb or d < abs(ra - rb):
        return []
    along = (ra * ra - rb * rb + d * d) / (2 * d)
    off = math.sqrt(max(0.0, ra * ra - along * along))
    x, y = a.x + along * dx / d, a.y + along * dy / d
    return [(x + off * dy / d, y - off * dx / d), (x - off * dy / d, y + off * dx / d)]


def _free(place: tuple[float, float], width: float, spots: Sequence[Spot]) -> bool:
    return all(
        math.hypot(place[0] - s.x, place[1] - s.y) >= (width + s.width) / 2 + GAP_MM - 1e-6 for s in spots
    )
