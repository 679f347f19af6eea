"""The tree of places as a page shows it: counted with what is inside, with room left and what is due."""

from collections.abc import Mapping
from dataclasses import dataclass

from catalogue.shelves.models import Place
from catalogue.shelves.tree import PlaceTree

MOST_ROWS_OPEN = 40  # places: more of them fold to their rooms


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A place in the tree: how deep; its own pieces, and all with what is inside; its neighbours."""

    place: Place
    deep: int
    own: int
    pieces: int
    earlier: Place | None = None
    later: Place | None = None

    @property
    def over_full(self) -> bool:
        """Whether more stands there than there is room for; it is said and never refused."""
        return self.place.capacity is not None and self.pieces > self.place.capacity

    @property
    def further_inside(self) -> int:
        """How many of the pieces stand in places inside this one."""
        return self.pieces - self.own

    @property
    def indent(self) -> int:
        """Steps to the right, as many as a phone has room for."""
        return min(self.deep, 4)


@dataclass(frozen=True, slots=True)
class Room:
    """A place that is in no other, and the rows of all places in it."""

    row: PlaceRow
    inside: list[PlaceRow]


def place_rows(tree: PlaceTree, counts: Mapping[int, int], within: int | None = None) -> list[PlaceRow]:
    """Every place below `within` in the tree's own order. `counts`: of each place itself. No query."""
    total = tree.summed(counts)
    beside: dict[int, tuple[Place | None, Place | None]] = {}
    for siblings in tree.parts.values():
        for n, place in enumerate(siblings):
            later = siblings[n + 1] if n + 1 < len(siblings) else None
            beside[place.pk] = (siblings[n - 1] if n else None, later)
    return [
        PlaceRow(place, deep, counts.get(place.pk, 0), total[place.pk], *beside[place.pk])
        for place, deep in tree.rows(within)
    ]


def in_rooms(rows: list[PlaceRow]) -> list[Room]:
    """The tree as what stands outermost with all that is in it."""
    rooms: list[Room] = []
    for row in rows:
        if not row.deep or not rooms:
            rooms.append(Room(row, []))
        else:
            rooms[-1].inside.append(row)
    return rooms
