"""Bin packing: circles and bars side by side on a round or a rectangular floor, pieces standing and lying.

Pure geometry, and a plain way of trying (first fit, the widest first; bottom-left for circles in a box): a
layout is found where there is room to spare; it never says "fits" without having found one. Of a rectangular
floor several layouts are tried and the one with most in it counts.
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


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A floor with straight sides, its middle at 0."""

    length_mm: float
    width_mm: float

    @property
    def turned(self) -> "Rectangle":
        return Rectangle(self.width_mm, self.length_mm)

    def stand(self, widths: Sequence[float]) -> list[Spot]:
        """Those circles that fit: in rows along either side, or each as near a corner as it touches."""
        layouts = [lay_out(self, widths) for lay_out in (_rows, _nestled)]
        for lay_out in (_rows, _nestled):
            turned = lay_out(self.turned, widths)
            layouts.append([Spot(spot.y, spot.x, spot.width) for spot in turned])
        return max(layouts, key=len)

    def lay(self, pieces: Sequence[Size]) -> set[int]:
        """Which of them lie in rows end to end, along whichever side takes more."""
        return max(_lie(self, pieces), _lie(self.turned, pieces), key=len)


def _rows(room: Rectangle, widths: Sequence[float]) -> list[Spot]:
    """Rows along the length, the widest first; a row is as deep as the first that stands in it."""
    spots: list[Spot] = []
    along = edge = deep = 0.0
    for width in sorted(widths, reverse=True):
        if deep and along + width > room.length_mm:
            along, edge, deep = 0.0, edge + deep + GAP_MM, 0.0
        if along + width > room.length_mm or edge + width > room.width_mm:
            continue
        x, y = along + width / 2 - room.length_mm / 2, edge + width / 2 - room.width_mm / 2
        spots.append(Spot(x, y, width))
        along, deep = along + width + GAP_MM, max(deep, width)
    return spots


def _nestled(room: Rectangle, widths: Sequence[float]) -> list[Spot]:
    """The widest first, each as low as it touches what is there: the second row in the first's hollows."""
    spots: list[Spot] = []
    for width in sorted(widths, reverse=True):
        x, y = (room.length_mm - width) / 2, (room.width_mm - width) / 2
        if x < 0 or y < 0:
            continue
        places = [(sx * x, sy * y) for sx in (-1, 1) for sy in (-1, 1)]
        for n, spot in enumerate(spots):
            places += _at_walls(spot, width, x, y)
            places += [place for other in spots[:n] for place in touching(spot, other, width)]
        free = [
            place
            for place in places
            if abs(place[0]) <= x + 1e-9 and abs(place[1]) <= y + 1e-9 and is_free(place, width, spots)
        ]
        if free:
            best = min(free, key=lambda place: (round(place[1], 3), round(place[0], 3)))
            spots.append(Spot(*best, width))
    return spots


def _at_walls(spot: Spot, width: float, x: float, y: float) -> list[tuple[float, float]]:
    """Where a circle touches both another one and a wall; `x` and `y` are how far out its middle can go."""
    reach = (spot.width + width) / 2 + GAP_MM
    places = []
    for wall in (-x, x):
        if abs(wall - spot.x) <= reach:
            off = math.sqrt(reach**2 - (wall - spot.x) ** 2)
            places += [(wall, spot.y - off), (wall, spot.y + off)]
    for wall in (-y, y):
        if abs(wall - spot.y) <= reach:
            off = math.sqrt(reach**2 - (wall - spot.y) ** 2)
            places += [(spot.x - off, wall), (spot.x + off, wall)]
    return places


def _lie(room: Rectangle, pieces: Sequence[Size]) -> set[int]:
    """Bars along the length, each in the first row with room for it, a new row beside the last."""
    laid: set[int] = set()
    rows: list[tuple[float, float]] = []  # length that is left, depth
    edge = 0.0
    for place, piece in enumerate(pieces):
        long, thick = piece.height_mm, piece.width_mm
        for n, (left, deep) in enumerate(rows):
            if long <= left and thick <= deep:
                rows[n] = (left - long - GAP_MM, deep)
                laid.add(place)
                break
        else:
            if long <= room.length_mm and edge + thick <= room.width_mm:
                rows.append((room.length_mm - long - GAP_MM, thick))
                edge += thick + GAP_MM
                laid.add(place)
    return laid
