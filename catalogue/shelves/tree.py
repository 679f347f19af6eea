"""The tree of places in its own order: which are inside which, and counts that hold what is inside. Pure."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from .models import Place

_FIGURES = re.compile(r"(\d+)")


def sibling_key(place: Place) -> tuple[Any, ...]:
    """Those put in an order of their own first, then by name with figures as numbers (shelf 2, shelf 10)."""
    words = [part for part in _FIGURES.split(place.name.casefold()) if part]
    name = tuple((not part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in words)
    return place.order is None, place.order or 0, name, place.pk


class PlaceTree:
    """All live places. `place` by its key; `parts` of each in their order (None: what is in no other)."""

    def __init__(self, places: Iterable[Place]) -> None:
        self.place = {place.pk: place for place in places}
        self.parts: dict[int | None, list[Place]] = {}
        for place in self.place.values():
            # what a place in the bin would be inside of
            within = place.parent_id if place.parent_id in self.place else None
            self.parts.setdefault(within, []).append(place)
        for siblings in self.parts.values():
            siblings.sort(key=sibling_key)

    def rows(self, within: int | None = None, deep: int = 0) -> Iterator[tuple[Place, int]]:
        """Every place below `within` as one walks through, with how deep it is."""
        for place in self.parts.get(within, ()):
            yield place, deep
            yield from self.rows(place.pk, deep + 1)

    def inside(self, key: int) -> list[int]:
        """The keys of a place and of all that is inside it."""
        return [key, *(place.pk for place, _ in self.rows(key))]

    def above(self, key: int) -> Iterator[Place]:
        """A place and what it is inside of, from the inside out."""
        place = self.place.get(key)
        seen: set[int] = set()
        while place is not None and place.pk not in seen:
            seen.add(place.pk)
            yield place
            place = self.place.get(place.parent_id) if place.parent_id else None

    def summed(self, counts: Mapping[int, int]) -> dict[int, int]:
        """For each place what it holds with all that is inside it."""
        total = dict.fromkeys(self.place, 0)
        for key, count in counts.items():
            for place in self.above(key):
                total[place.pk] += count
        return total


def place_tree() -> PlaceTree:
    """All live places. One query."""
    return PlaceTree(Place.objects.order_by())
