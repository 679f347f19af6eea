"""Look-ups in the files of listed towns: our extract, and countries that the owner added.

A file is opened for one look-up and closed again: nothing is held, and one can be taken away at any time.
"""

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from catalogue.specimens.place_keys import place_key

from .making import DEGREE, LAYOUT, TABLES
from .room import IN_USE, paths_of

EXTRACT = Path(__file__).resolve().parent.parent / "reference" / "towns.sqlite3"
# Two files tell of one place where they agree to 2 km.
SAME_PLACE_DEG = 0.02
# SQLite takes 32,766 values at once; a query of so many finds no reader waiting.
_MOST_KEYS = 5_000
_TOWN = (
    "SELECT n.key, t.name, r.region, r.country, t.latitude, t.longitude, t.population, c.name, r.name "
    "FROM {names} JOIN towns t ON t.id=n.town JOIN regions r ON r.id=t.region "
    "LEFT JOIN counties c ON c.id=t.county"
)


@dataclass(frozen=True, slots=True)
class Listed:
    """One listed town, and the key that it was found by. Degrees; `county` and `region` may be empty."""

    key: str
    name: str
    region: str
    country: str
    latitude: float
    longitude: float
    population: int
    county: str = ""
    region_name: str = ""

    @property
    def words(self) -> str:
        """Name, region and country, as they are kept and can be typed again."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)

    @property
    def described(self) -> str:
        """The same with its county, which tells two of one name in one state apart."""
        return f"{self.words} ({self.county})" if self.county else self.words

    @property
    def place(self) -> tuple[float, float]:
        """What tells it from others of its name."""
        return self.latitude, self.longitude


class TownLists:
    """The files that are open for one look-up."""

    def __init__(self, files: Sequence[sqlite3.Connection]) -> None:
        self._files = files

    def by_keys(self, keys: Iterable[str]) -> list[Listed]:
        """Every town that is found by one of these keys, the most populous first."""
        wanted = list(dict.fromkeys(keys))
        found: list[Listed] = []
        for first in range(0, len(wanted), _MOST_KEYS):
            part = wanted[first : first + _MOST_KEYS]
            marks = ",".join("?" * len(part))
            found += self._ask(f"{_TOWN.format(names='names n')} WHERE n.key IN ({marks})", part)
        return _ranked(found)

    def like(self, pattern: str, most: int) -> list[Listed]:
        """Towns whose key fits a GLOB pattern, the most populous first."""
        begin = pattern
        for sign in "*?[":
            begin = begin.partition(sign)[0]
        names = "(SELECT key, town FROM names WHERE key>=? AND key<? AND key GLOB ? ORDER BY town LIMIT ?) n"
        values = (begin, begin + "\U0010ffff", pattern, most)
        return _ranked(self._ask(_TOWN.format(names=names), values))

    def beginning(self, begin: str, most: int) -> list[Listed]:
        """Towns whose key begins so, the most populous first."""
        names = "(SELECT min(key) AS key, town FROM names WHERE key>=? AND key<? GROUP BY town LIMIT ?) n"
        return _ranked(self._ask(_TOWN.format(names=names), (begin, begin + "\U0010ffff", most)))

    def regions(self, key: str) -> list[tuple[str, str, str]]:
        """Country, region as it is written, and name, of the regions that are called so in full."""
        rows = self._files[0].execute("SELECT country, region, name FROM regions WHERE key=?", (key,))
        return [(country, region, name) for country, region, name in rows]

    def _ask(self, query: str, values: Sequence[object]) -> list[Listed]:
        return [
            Listed(key, name, region, country, lat / DEGREE, lon / DEGREE, people, county or "", region_name)
            for file in self._files
            for key, name, region, country, lat, lon, people, county, region_name in file.execute(
                query, values
            )
        ]


@contextmanager
def town_lists() -> Iterator[TownLists]:
    """All files of listed towns, open while the block runs. An added one that can't be read is left out."""
    with ExitStack() as stack:
        files = [stack.enter_context(closing(open_file(EXTRACT)))]
        for path in paths_of(IN_USE):
            try:
                files.append(stack.enter_context(closing(open_file(path))))
            except (sqlite3.Error, OSError):
                continue
        yield TownLists(files)


def open_file(path: Path) -> sqlite3.Connection:
    """A file of towns, read-only. Raises sqlite3.Error where it is none, or of another layout."""
    file = sqlite3.connect(
        f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False
    )
    try:
        if file.execute("PRAGMA user_version").fetchone()[0] != LAYOUT:
            raise sqlite3.DatabaseError("another layout")
    except sqlite3.Error:
        file.close()
        raise
    return file


def about(path: Path) -> dict[str, str]:
    """What a file says of itself: its source, and how many towns it has."""
    with closing(open_file(path)) as file:
        return dict(file.execute("SELECT what, words FROM about").fetchall())


def check_list(path: Path) -> None:
    """Raise sqlite3.Error for a file that is no list of towns, whoever made it: nothing in it may run."""
    with closing(open_file(path)) as file:
        found = {tuple(row) for row in file.execute("SELECT type, name FROM sqlite_master")}
        if found != {("table", name) for name in TABLES}:
            raise sqlite3.DatabaseError("other tables than those of a list of towns")
        dict(file.execute("SELECT what, words FROM about").fetchall())["towns"]


def lists_version() -> str:
    """What tells these lists from others: it changes where one is added, taken away or replaced."""
    told = []
    for path in (EXTRACT, *paths_of(IN_USE)):
        with suppress(sqlite3.Error, OSError):
            told.append(about(path)["version"])
    return hashlib.sha256("+".join(told).encode()).hexdigest()[:16]


def _ranked(rows: Iterable[Listed]) -> list[Listed]:
    """Most populous first, each place once, whichever key and file it was found by."""
    kept: dict[str, list[Listed]] = {}
    found = []
    # By its own name where that is one of the keys asked for.
    for row in sorted(rows, key=lambda row: (-row.population, row.key != place_key(row.name))):
        twins = kept.setdefault(f"{row.country} {row.name}", [])
        if not any(is_same_place(row, twin) for twin in twins):
            twins.append(row)
            found.append(row)
    return found


class Placed(Protocol):
    """What has a position in degrees, or none."""

    @property
    def latitude(self) -> float | None: ...

    @property
    def longitude(self) -> float | None: ...


def is_same_place(one: Placed, other: Placed) -> bool:
    """Whether two positions are of one town; what has none is nowhere."""
    if one.latitude is None or one.longitude is None or other.latitude is None or other.longitude is None:
        return False
    return (
        abs(one.latitude - other.latitude) < SAME_PLACE_DEG
        and abs(one.longitude - other.longitude) < SAME_PLACE_DEG
    )
