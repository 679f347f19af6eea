"""Write a file of listed towns: one table of towns, one of the keys that they are found by, both indexed."""

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from catalogue.specimens.place_keys import place_key, place_keys

# A ten-thousandth of a degree: 11 m.
DEGREE = 10_000
# The version of the tables below; a file of another one is not read.
LAYOUT = 1
TABLES = ("about", "regions", "counties", "towns", "names")
_CACHE_KB = 8_000
_TABLES = """
CREATE TABLE about (what TEXT PRIMARY KEY, words TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE regions (id INTEGER PRIMARY KEY, country TEXT NOT NULL, admin1 TEXT NOT NULL,
                      region TEXT NOT NULL, name TEXT NOT NULL, key TEXT NOT NULL);
CREATE TABLE counties (id INTEGER PRIMARY KEY, name TEXT NOT NULL);
CREATE TABLE towns (id INTEGER PRIMARY KEY, name TEXT NOT NULL, region INTEGER NOT NULL,
                    county INTEGER, latitude INTEGER NOT NULL, longitude INTEGER NOT NULL,
                    population INTEGER NOT NULL);
CREATE TABLE names (key TEXT NOT NULL, town INTEGER NOT NULL, PRIMARY KEY (key, town)) WITHOUT ROWID;
"""
_STAGED = """
CREATE TEMP TABLE staged (name, country, admin1, county, latitude, longitude, population, others);
CREATE TEMP TABLE keys (key, town);
"""


@dataclass(frozen=True, slots=True)
class TownRow:
    """One town to be written. `others`: the names that it is found by besides its own."""

    name: str
    country: str
    admin1: str
    county: str
    latitude: float
    longitude: float
    population: int
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RegionRow:
    """How a region (GeoNames' first division) is written beside a town (`region`) and called (`name`)."""

    region: str
    name: str


Regions = dict[tuple[str, str], RegionRow]


def write_town_file(path: Path, rows: Iterable[TownRow], regions: Regions, about: dict[str, str]) -> int:
    """Write the towns to a new file at `path`; returns how many. The same rows give the same tables.

    Rows are read once, one after the other: memory stays flat, sorting goes through SQLite's own files.
    """
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        file.executescript(
            f"PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; PRAGMA page_size=4096; "
            f"PRAGMA cache_size=-{_CACHE_KB}; PRAGMA temp_store=FILE; PRAGMA user_version={LAYOUT};"
        )
        file.executescript(_TABLES + _STAGED)
        file.execute("BEGIN")
        file.executemany("INSERT INTO staged VALUES (?,?,?,?,?,?,?,?)", map(_staged, rows))
        _write_regions(file, regions)
        file.execute(
            "INSERT INTO counties (name) SELECT DISTINCT county FROM staged WHERE county<>'' ORDER BY 1"
        )
        count = _write_towns(file)
        file.execute("INSERT INTO names SELECT DISTINCT key, town FROM keys ORDER BY key, town")
        told = {**about, "towns": str(count), "version": _version(file)}
        file.executemany("INSERT INTO about VALUES (?,?)", sorted(told.items()))
        file.execute("COMMIT")
        file.execute("VACUUM")
    return count


def _staged(row: TownRow) -> tuple[object, ...]:
    return (
        *(row.name, row.country, row.admin1, row.county),
        *(round(row.latitude * DEGREE), round(row.longitude * DEGREE), row.population, "\n".join(row.others)),
    )


def _write_regions(file: sqlite3.Connection, regions: Regions) -> None:
    """The regions that are named, and those that occur; one that is not named goes by its code."""
    used = set(file.execute("SELECT DISTINCT country, admin1 FROM staged"))
    rows = []
    for number, (country, admin1) in enumerate(sorted(used | regions.keys()), 1):
        row = regions.get((country, admin1)) or RegionRow(admin1, admin1)
        rows.append((number, country, admin1, row.region, row.name, place_key(row.name)))
    file.executemany("INSERT INTO regions VALUES (?,?,?,?,?,?)", rows)


def _write_towns(file: sqlite3.Connection) -> int:
    """Towns in the order of their population, so that their number ranks them; and their keys."""
    ordered = file.execute(
        "SELECT s.name, r.id, c.id, s.latitude, s.longitude, s.population, s.others FROM staged s "
        "JOIN regions r ON r.country=s.country AND r.admin1=s.admin1 LEFT JOIN counties c ON c.name=s.county "
        "ORDER BY s.population DESC, s.country, s.name, s.latitude, s.longitude"
    )
    count = 0
    for count, (*town, others) in enumerate(ordered, 1):
        file.execute("INSERT INTO towns VALUES (?,?,?,?,?,?,?)", (count, *town))
        keys = dict.fromkeys(_keys((town[0], *others.split("\n"))))
        file.executemany("INSERT INTO keys VALUES (?,?)", ((key, count) for key in keys))
    return count


def _version(file: sqlite3.Connection) -> str:
    """What tells these towns and names from others."""
    digest = hashlib.sha256()
    for query in ("SELECT * FROM regions ORDER BY id", "SELECT * FROM towns ORDER BY id"):
        for row in file.execute(query):
            digest.update(repr(row).encode())
    for key, town in file.execute("SELECT key, town FROM names ORDER BY key, town"):
        digest.update(f"{key}\t{town}\n".encode())
    return digest.hexdigest()[:16]


def _keys(names: Iterable[str]) -> Iterator[str]:
    for name in names:
        yield from place_keys(name)
