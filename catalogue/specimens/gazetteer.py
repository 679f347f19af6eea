"""Towns to choose from without the internet. Positions and populations: GeoNames, CC BY 4.0."""

import csv
from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from catalogue.common.text import folded


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
