"""Backup before a migration: a whole copy of the database as it was, a SQLite file whichever engine keeps it.

SQLite is copied by `VACUUM INTO`, which reads one state of the database however busy it is, a server's row by
row within one transaction. The copy gets its name only when it is whole and on disk, so whatever bears such a
name can be restored.
"""

import re
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from functools import partial
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError
from django.db.backends.base.base import BaseDatabaseWrapper

from catalogue.access.startup import StartRefused
from catalogue.access.startup.folder import free_bytes
from catalogue.access.startup.row_copy import copy_server
from catalogue.access.startup.sqlite_copy import PART, copy_database

FOLDER = "before-update"
KEPT = 3
# Numbered, so that a clock that stood wrong doesn't make the newest copy the oldest.
NAME = re.compile(r"catalogue-(\d{4,})-\d{4}-\d\d-\d\d\.sqlite3")
# Our own figure: what the migration itself may need beside the copy.
ROOM_BESIDE_BYTES = 20_000_000


def secure(connection: BaseDatabaseWrapper) -> Path | None:
    """Have a copy of the database before its tables change; where that is.

    None for a database in memory, which is passed over. Raises StartRefused where no copy can be made.
    """
    if connection.vendor != "sqlite":
        return back_up_server(connection)
    file = Path(str(connection.settings_dict["NAME"]))
    return back_up(file) if file.is_file() else None


def folder_of_copies(connection: BaseDatabaseWrapper) -> Path:
    """Where the copies of this database are kept: beside its file, else in the data folder."""
    if connection.vendor != "sqlite":
        return Path(settings.DATA_DIR) / FOLDER
    return Path(str(connection.settings_dict["NAME"])).parent / FOLDER


def back_up(database: Path) -> Path:
    """Copy the database file into `before-update` beside it, and keep the last three; the new copy's path.

    Raises StartRefused where there is no room, or what was written is not whole; nothing of it is left then.
    """
    needed = database.stat().st_size
    with suppress(FileNotFoundError):
        needed += database.with_name(f"{database.name}-wal").stat().st_size
    return _keep(database.parent / FOLDER, partial(copy_database, database), needed)


def back_up_server(connection: BaseDatabaseWrapper) -> Path:
    """The same for a database that a server keeps, into the data folder. Raises StartRefused."""
    with connection.cursor() as cursor:
        # With its indexes, so more than the copy needs.
        cursor.execute("SELECT pg_database_size(current_database())")
        needed = int(cursor.fetchone()[0])
    return _keep(folder_of_copies(connection), partial(copy_server, connection), needed)


def _keep(folder: Path, write: Callable[[Path], None], needed: int) -> Path:
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        for left_by_a_crash in folder.glob(f"catalogue-*{PART}*"):
            left_by_a_crash.unlink()
        _check_room(folder, needed + ROOM_BESIDE_BYTES)
        earlier = copies(folder)
        number = 1 + max((_number(path) for path in earlier), default=0)
        copy = folder / f"catalogue-{number:04d}-{date.today().isoformat()}.sqlite3"
        write(copy)
        for old in earlier[: -(KEPT - 1)]:
            old.unlink()
    except (OSError, sqlite3.Error, DatabaseError) as error:
        raise StartRefused(
            "The tables of this catalogue have to change, and a copy of it could not be kept first in "
            f"{folder} ({' '.join(str(error).split())}); nothing was changed."
        ) from None
    return copy


def copies(folder: Path) -> list[Path]:
    """The copies that are there, oldest first."""
    found = folder.iterdir() if folder.is_dir() else ()
    return sorted((path for path in found if NAME.fullmatch(path.name)), key=_number)


def is_copy(path: Path) -> bool:
    """Whether a file is one of the copies, by its name."""
    return bool(NAME.fullmatch(path.name))


def _number(copy: Path) -> int:
    found = NAME.fullmatch(copy.name)
    return int(found[1]) if found else 0


def _check_room(folder: Path, needed: int) -> None:
    free = free_bytes(folder)
    if free < needed:
        raise StartRefused(
            "The tables of this catalogue have to change, and there is no room for a copy of it first: the "
            f"disk of {folder.parent} needs {-(-needed // 1_000_000)} MB and has {free // 1_000_000} MB; "
            "make room, then start again; nothing was changed."
        )
