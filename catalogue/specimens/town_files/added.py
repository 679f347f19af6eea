"""Countries that the owner added: each a file of towns in the data folder, put there whole or not at all.

The one taken away or replaced last stays beside it and can be put back.
"""

import os
import re
import secrets
import sqlite3
import zlib
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path
from typing import IO

from catalogue.common.kept_files import make_folder, sync_folder

from .country_file import CountryFileError, country_rows, opened
from .making import RegionRow, Regions, write_town_file
from .room import IN_USE, LAID_ASIDE, paths_of, town_room
from .store import EXTRACT, about, open_file

_ARRIVING = "part"
_CODE = re.compile(r"^[A-Z]{2}$")


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
            found.append(AddedCountry(path.stem, int(told["towns"]), told["called"], at, in_use))
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
        there = _path(first.country, IN_USE)
        if there.exists():
            os.replace(there, _path(first.country, LAID_ASIDE))
        os.replace(arriving, there)
        sync_folder(town_room())
    except (sqlite3.Error, OSError, EOFError, zlib.error) as error:
        raise CountryFileError(f"It could not be read or written ({error})") from error
    finally:
        arriving.unlink(missing_ok=True)
    return next(each for each in added_countries() if each.country == first.country and each.in_use)


def take_away(country: str) -> bool:
    """Look a country's file up no more; it can be put back. Whether there was one."""
    return _move(country, IN_USE, LAID_ASIDE)


def put_back(country: str) -> bool:
    """Look up again the file that was taken away or replaced last; one in use meanwhile is laid aside."""
    aside, there = _path(country, LAID_ASIDE), _path(country, IN_USE)
    if not (_CODE.match(country) and aside.exists()):
        return False
    if there.exists():
        waiting = town_room() / f"{secrets.token_hex(8)}.{_ARRIVING}"
        os.replace(there, waiting)
        os.replace(aside, there)
        os.replace(waiting, aside)
    else:
        os.replace(aside, there)
    sync_folder(town_room())
    return True


def _move(country: str, here: str, there: str) -> bool:
    path = _path(country, here)
    if not (_CODE.match(country) and path.exists()):
        return False
    os.replace(path, _path(country, there))
    sync_folder(town_room())
    return True


def _regions_of(country: str) -> Regions:
    """How the extract writes the regions of a country, so that both write them alike."""
    with closing(open_file(EXTRACT)) as file:
        rows = file.execute("SELECT admin1, region, name FROM regions WHERE country=?", (country,))
        return {(country, admin1): RegionRow(region, name) for admin1, region, name in rows}


def _path(country: str, ending: str) -> Path:
    return town_room() / f"{country}.{ending}"
