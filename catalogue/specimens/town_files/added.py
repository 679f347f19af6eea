"""Countries that the owner added: each a file of towns, put there whole or not at all.

Backups take them. The one taken away or replaced last stays beside it and can be put back.
"""

import os
import secrets
import sqlite3
import zlib
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path
from typing import IO

from catalogue.common.kept_files import digest_of, make_folder, sync_folder

from .country_file import CountryFileError, country_rows, opened
from .making import RegionRow, Regions, write_town_file
from .room import IN_USE, LAID_ASIDE, country_of, paths_of, town_room
from .store import EXTRACT, about, open_file

_ARRIVING = "part"


@dataclass(frozen=True, slots=True)
class AddedCountry:
    """One country's list of towns. `in_use` is false for one that was taken away and can be put back."""

    country: str
    towns: int
    called: str
    at: datetime
    in_use: bool


def added_countries() -> list[AddedCountry]:
    """The countries that were added, and those taken away that can be put back."""
    found = []
    for path in [*paths_of(IN_USE), *paths_of(LAID_ASIDE)]:
        with suppress(sqlite3.Error, OSError, ValueError, KeyError):
            told = about(path)
            at = datetime.fromtimestamp(path.stat().st_mtime, UTC)
            in_use = path.suffix == f".{IN_USE}"
            found.append(AddedCountry(country_of(path), int(told["towns"]), told["called"], at, in_use))
    return found


def add_country(source: IO[bytes], called: str) -> AddedCountry:
    """Add the towns of a country's file (`XX.txt` or its zip); one that was there is laid aside.

    Raises CountryFileError, with nothing changed.
    """
    make_folder(town_room())
    arriving = town_room() / f"{secrets.token_hex(8)}.{_ARRIVING}"
    try:
        with opened(source) as text:
            rows = country_rows(text)
            first = next(rows)
            told = {"source": "GeoNames (geonames.org), CC BY 4.0", "called": called[:200]}
            write_town_file(arriving, chain([first], rows), _regions_of(first.country), told)
        with arriving.open("rb") as file:
            os.fsync(file.fileno())
        _take_in(first.country, arriving)
    except (sqlite3.Error, OSError, EOFError, zlib.error) as error:
        raise CountryFileError(f"It could not be read or written ({error})") from error
    finally:
        arriving.unlink(missing_ok=True)
    return next(each for each in added_countries() if each.country == first.country and each.in_use)


def take_away(country: str) -> bool:
    """Look a country's file up no more; it can be put back. Whether there was one."""
    used = _of(country, IN_USE)
    for path in used:
        _lay_aside(path)
    return bool(used)


def put_back(country: str) -> bool:
    """Look up again the file that was taken away or replaced last; one in use meanwhile is laid aside."""
    aside, used = _of(country, LAID_ASIDE), _of(country, IN_USE)
    if not aside:
        return False
    os.replace(aside[-1], aside[-1].with_suffix(f".{IN_USE}"))
    for path in used:
        _lay_aside(path)
    sync_folder(aside[-1].parent)
    return True


def _take_in(country: str, arriving: Path) -> None:
    """Put a whole file in its place; the one that was there is laid aside, alone."""
    there = town_room() / country / f"{digest_of(arriving)}.{IN_USE}"
    make_folder(there.parent)
    used = [path for path in _of(country, IN_USE) if path != there]
    if used:
        for path in _of(country, LAID_ASIDE):
            path.unlink()
    os.replace(arriving, there)
    there.with_suffix(f".{LAID_ASIDE}").unlink(missing_ok=True)
    for path in used:
        _lay_aside(path)
    sync_folder(there.parent)


def _lay_aside(path: Path) -> None:
    os.replace(path, path.with_suffix(f".{LAID_ASIDE}"))
    sync_folder(path.parent)


def _of(country: str, ending: str) -> list[Path]:
    """The lists of a country, the one that was put there last at the end."""
    found = [path for path in paths_of(ending) if country_of(path) == country]
    return sorted(found, key=lambda path: path.stat().st_mtime)


def _regions_of(country: str) -> Regions:
    """How the extract writes the regions of a country, so that both write them alike."""
    with closing(open_file(EXTRACT)) as file:
        rows = file.execute("SELECT admin1, region, name FROM regions WHERE country=?", (country,))
        return {(country, admin1): RegionRow(region, name) for admin1, region, name in rows}
