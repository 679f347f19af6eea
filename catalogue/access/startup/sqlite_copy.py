"""A consistent copy of a SQLite database that is in use: `VACUUM INTO`, an integrity check, then its name.

It reads one state of the database however busy it is. Whatever bears the copy's name is whole and on disk.
"""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from catalogue.common.kept_files import new_file, sync_folder

PART = ".part"


def copy_database(database: Path, copy: Path, *, without: tuple[str, ...] = (), made_again: str = "") -> None:
    """Write the copy, look at every page of it, force it to disk, and only then give it its name.

    `without` names tables that are left empty in the copy, where it has them; triggers and virtual tables
    whose name begins with `made_again` are left out. Raises OSError, sqlite3.Error; nothing is left then.
    """
    part = copy.with_name(f"{copy.name}{PART}")
    # SQLite fills an empty file that is there already; this one is the owner's alone from the beginning.
    new_file(part).close()
    try:
        # No transaction may be open on the connection that copies.
        with closing(sqlite3.connect(database, timeout=20, isolation_level=None)) as direct:
            direct.execute("VACUUM INTO ?", (str(part),))
        with closing(sqlite3.connect(part, isolation_level=None)) as direct:
            # It is forced to disk once, when it is whole, and swept where that is never reached.
            direct.execute("PRAGMA journal_mode = MEMORY")
            direct.execute("PRAGMA synchronous = OFF")
            _empty(direct, without)
            _leave_out(direct, made_again)
        keep_when_whole(part, copy)
    finally:
        part.unlink(missing_ok=True)


def keep_when_whole(part: Path, copy: Path) -> None:
    """Give a written copy its name: every page of it is looked at, and it is on disk before.

    Raises sqlite3.DatabaseError, OSError.
    """
    with closing(sqlite3.connect(part, isolation_level=None)) as direct:
        check_integrity(direct)
    with part.open("r+b") as file:
        os.fsync(file.fileno())
    os.replace(part, copy)
    sync_folder(copy.parent)


def check_integrity(direct: sqlite3.Connection) -> None:
    """Raise sqlite3.DatabaseError unless every page and index of a database is as it should be."""
    found = direct.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise sqlite3.DatabaseError(f"the copy is not whole: {found}")


def _leave_out(direct: sqlite3.Connection, prefix: str) -> None:
    if not prefix:
        return
    rows = direct.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    for kind, name, text in rows:
        is_virtual = kind == "table" and text.upper().startswith("CREATE VIRTUAL TABLE")
        if name.startswith(prefix) and (kind == "trigger" or is_virtual):
            direct.execute(f'DROP {"TRIGGER" if kind == "trigger" else "TABLE"} "{name}"')
    direct.execute("VACUUM")


def _empty(direct: sqlite3.Connection, tables: tuple[str, ...]) -> None:
    there = {name for (name,) in direct.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    # What was deleted must not be left in free pages either.
    direct.execute("PRAGMA secure_delete = ON")
    for table in sorted(there & set(tables)):
        direct.execute(f'DELETE FROM "{table}"')
