"""Circles and bars side by side on a rectangular floor: pieces that stand in a box, pieces that lie in it.

Pure geometry and a plain way of trying, like that of the round floor: several layouts are tried and the one
with most in it counts, so "fits" is never said without a layout.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .floor_round import GAP_MM, Size, Spot, is_free, touching


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
