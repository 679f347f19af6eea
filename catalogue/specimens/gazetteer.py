"""Towns to choose from without the internet. Positions and populations: GeoNames, CC BY 4.0."""

import csv
from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from catalogue.common.text import folded

from .embossed_place import EmbossedPlace, place_key, ways_to_read


@dataclass(frozen=True, slots=True)
class Listed:
    """One row of the gazetteer."""

    folded: str
    name: str
    region: str
    country: str
    latitude: float
    longitude: float
    population: int

    @property
    def words(self) -> str:
        return ", ".join(part for part in (self.name, self.region, self.country) if part)


@lru_cache(maxsize=1)
def listed() -> tuple[Listed, ...]:
    """Every listed town, in the order of its folded name. Read once, about 34,000 rows."""
    table = files("catalogue.specimens") / "reference" / "towns.csv"
    with table.open(encoding="utf-8") as file:
        rows = [
            Listed(
                folded(row["name"]),
                row["name"],
                row["region"],
                row["country"],
                float(row["latitude"]),
                float(row["longitude"]),
                int(row["population"] or 0),
            )
            for row in csv.DictReader(file)
        ]
    return tuple(sorted(rows, key=lambda row: (row.folded, -row.population)))


@lru_cache(maxsize=1)
def _by_key() -> dict[str, tuple[Listed, ...]]:
    found: dict[str, list[Listed]] = {}
    for row in listed():
        found.setdefault(place_key(row.name), []).append(row)
    return {key: tuple(rows) for key, rows in found.items()}


def candidates(text: str) -> list[Listed]:
    """Listed towns that letters on glass may mean, by the likeliest reading that any has; the most populous
    first."""
    for place in ways_to_read(text):
        if found := listed_as(place):
            return found
    return []


def listed_as(place: EmbossedPlace) -> list[Listed]:
    """Listed towns of that name in one of its regions, the most populous first."""
    rows = [row for row in _by_key().get(place.key, ()) if place.fits(row.country, row.region)]
    return sorted(rows, key=lambda row: -row.population)


def suggest(text: str, limit: int = 8) -> list[Listed]:
    """Listed towns whose name begins as typed, the most populous first."""
    begin = folded(text)
    if not begin:
        return []
    rows = listed()
    first = bisect_left(rows, begin, key=lambda row: row.folded)
    found = []
    for row in rows[first:]:
        if not row.folded.startswith(begin):
            break
        found.append(row)
    exact = [row for row in found if row.folded == begin]
    rest = [row for row in found if row.folded != begin]
    exact.sort(key=lambda row: -row.population)
    rest.sort(key=lambda row: -row.population)
    return (exact + rest)[:limit]
