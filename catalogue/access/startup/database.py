"""Database checks: whole, not newer than this program, and brought up to date."""

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder

from catalogue.access.startup import StartRefused, schema
from catalogue.access.startup.folder import LEFT_FILE
from catalogue.access.startup.last_backup import last_backup_offered


def file() -> Path | None:
    """The database's file; None where a server keeps it."""
    chosen = settings.DATABASES["default"]
    return Path(chosen["NAME"]) if chosen["ENGINE"].endswith("sqlite3") else None


def check_whole(path: Path) -> None:
    """Raise StartRefused where the file is damaged or can't be written. A file not there yet is fine.

    A file that is not as the last end left it (a crash, a copy put in its place) is read more thoroughly: one
    that was copied while it was written to can be of two minds, its indexes of one moment and its rows of
    another. That takes a few seconds for a hundred thousand finds.
    """
    if not path.exists():
        return
    # Also true of a file on a disk that is read-only, or marked as never to change.
    if not os.access(path, os.R_OK | os.W_OK):
        raise StartRefused(
            f"The catalogue's file {path} can't be read and written by this user: "
            "give yourself the right to, then start again."
        )
    try:
        with closing(sqlite3.connect(path, timeout=20)) as direct:
            direct.execute("BEGIN IMMEDIATE")
            direct.execute("ROLLBACK")
            thoroughly = "quick_check" if is_as_left(path) else "integrity_check"
            found = direct.execute(f"PRAGMA {thoroughly}(1)").fetchone()[0]
    except sqlite3.OperationalError as error:
        raise StartRefused(f"The catalogue's file {path} can't be used ({error}).") from None
    except sqlite3.DatabaseError as error:
        found = str(error)
    if found != "ok":
        raise StartRefused(
            f"The catalogue's file {path} is damaged ({one_line(found)}), as a copy that was made while "
            f"it was open can be: nothing was changed. {last_backup_offered(Path(settings.DATA_DIR))}"
        )


# Said before what takes a while: of five thousand finds an update takes minutes.
LAYING_OUT = "A new catalogue is laid out."
UPDATING = (
    "The catalogue was last opened with an older version of the program. It is brought up to date now, after "
    "a copy of it is kept; a large one takes some minutes."
)


def bring_up_to_date() -> None:
    """Add what this version of the program needs; a copy of the database is kept before it changes.

    Raises StartRefused for a catalogue of a newer version, where no copy could be kept, and where a column
    is missing.
    """
    try:
        executor = MigrationExecutor(connection)
        recorded = set(MigrationRecorder(connection).applied_migrations())
        if unknown := sorted(recorded - set(executor.loader.disk_migrations)):
            raise StartRefused(
                f"This catalogue was last opened with a newer version of the program (it has {unknown[0][0]} "
                f"{unknown[0][1]}): open it with that version; nothing was changed."
            )
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            print(UPDATING if recorded else LAYING_OUT, flush=True)
            call_command("migrate", verbosity=0, interactive=False)
        schema.check(connection)
    except CommandError as error:
        raise StartRefused(one_line(error)) from None
    except DatabaseError as error:
        raise StartRefused(f"The catalogue's database can't be used ({one_line(error)}).") from error


def gather() -> None:
    """At the end, bring everything from the side file into the database file, so that one file is whole."""
    path = file()
    if path is None or not path.exists():
        return
    with closing(sqlite3.connect(path, timeout=5)) as direct:
        direct.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with suppress(OSError):
        path.with_name(LEFT_FILE).write_text(_looks(path), encoding="ascii")


def is_as_left(path: Path) -> bool:
    """Whether the database file is the very one that the last end in order left, and nothing came after."""
    side = path.with_name(f"{path.name}-wal")
    try:
        left = path.with_name(LEFT_FILE).read_text(encoding="ascii", errors="replace")
        return left == _looks(path) and not (side.exists() and side.stat().st_size)
    except OSError:
        return False


def _looks(path: Path) -> str:
    """Size and time of writing, which tell one state of a file from another."""
    seen = path.stat()
    return f"{seen.st_size} {seen.st_mtime_ns}"


def one_line(error: Exception | str) -> str:
    """The system's own words on one line."""
    return " ".join(str(error).split())
