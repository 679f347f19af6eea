"""Backup before a migration: a whole copy of the SQLite database as it was; on a server, the owner's word.

The copy is made by `VACUUM INTO`, which reads one state of the database however busy it is, under another
name; it gets its own only when it is whole and on disk, so whatever bears such a name can be put back.
"""

import re
import shutil
import sqlite3
from contextlib import suppress
from datetime import date
from pathlib import Path

from django.db.backends.base.base import BaseDatabaseWrapper

from catalogue.access.startup import StartRefused
from catalogue.access.startup.sqlite_copy import PART, copy_database

FOLDER = "before-update"
KEPT = 3
# Numbered, so that a clock that stood wrong doesn't make the newest copy the oldest.
NAME = re.compile(r"catalogue-(\d{4,})-\d{4}-\d\d-\d\d\.sqlite3")
# Our own figure: what the migration itself may need beside the copy.
ROOM_BESIDE_BYTES = 20_000_000
HAS_BACKUP = "--yes-i-have-a-backup"


def secure(connection: BaseDatabaseWrapper, *, has_backup: bool) -> Path | None:
    """Have a copy of the database before its tables change; where that is, or None where a server keeps it.

    Raises StartRefused where no copy can be made, and where a server keeps the database and nobody said that
    there is a backup. A database in memory is passed over.
    """
    if connection.vendor == "sqlite":
        file = Path(str(connection.settings_dict["NAME"]))
        return back_up(file) if file.is_file() else None
    if not has_backup:
        raise StartRefused(
            "This version of the program has to change the tables of the database "
            f"{connection.settings_dict['NAME']}: make a backup of it (pg_dump), then start again with "
            f"{HAS_BACKUP}; nothing was changed."
        )
    return None


def back_up(database: Path) -> Path:
    """Copy the database file into `before-update` beside it, and keep the last three; the new copy's path.

    Raises StartRefused where there is no room, or what was written is not whole; nothing of it is left then.
    """
    folder = database.parent / FOLDER
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        for left_by_a_crash in folder.glob(f"catalogue-*{PART}*"):
            left_by_a_crash.unlink()
        _check_room(database, folder)
        earlier = copies(folder)
        number = 1 + max((_number(path) for path in earlier), default=0)
        copy = folder / f"catalogue-{number:04d}-{date.today().isoformat()}.sqlite3"
        copy_database(database, copy)
        for old in earlier[: -(KEPT - 1)]:
            old.unlink()
    except (OSError, sqlite3.Error) as error:
        raise StartRefused(
            "The tables of this catalogue have to change, and a copy of it could not be kept first in "
            f"{folder} ({' '.join(str(error).split())}); nothing was changed."
        ) from None
    return copy


def copies(folder: Path) -> list[Path]:
    """The copies that are there, oldest first."""
    return sorted((path for path in folder.iterdir() if NAME.fullmatch(path.name)), key=_number)


def free_bytes(folder: Path) -> int:
    """Free room on the folder's disk."""
    return shutil.disk_usage(folder).free


def _number(copy: Path) -> int:
    found = NAME.fullmatch(copy.name)
    return int(found[1]) if found else 0


def _check_room(database: Path, folder: Path) -> None:
    needed = ROOM_BESIDE_BYTES + database.stat().st_size
    with suppress(FileNotFoundError):
        needed += database.with_name(f"{database.name}-wal").stat().st_size
    free = free_bytes(folder)
    if free < needed:
        raise StartRefused(
            "The tables of this catalogue have to change, and there is no room for a copy of it first: the "
            f"disk of {folder.parent} needs {-(-needed // 1_000_000)} MB and has {free // 1_000_000} MB; "
            "make room, then start again; nothing was changed."
        )
