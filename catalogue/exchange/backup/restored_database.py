"""The database of a backup, looked at before it is opened: whole, harmless, no newer than this program."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.db.migrations.loader import MigrationLoader

from catalogue.access.startup.sqlite_copy import check_integrity
from catalogue.exchange.backup.bagit import BagError
from catalogue.exchange.backup.contents import BackupContents, DatabaseFacts, database_facts, lacking
from catalogue.exchange.backup.payload import FILES_PREFIX


def check_database(path: Path, contents: BackupContents, listed: set[str]) -> None:
    """Raise BagError for a database that is damaged, newer than this program, or not the one said.

    `listed`: the paths of the backup's manifest.
    """
    facts = facts_of_whole(path)
    if facts.catalogue_id != contents.catalogue_id:
        raise BagError("its database is not the one that it says it holds")
    said = set(contents.missing)
    paths = {path[len(FILES_PREFIX) :] for path in listed if path.startswith(FILES_PREFIX)}
    if gone := [name for name in lacking(facts, paths) if name not in said]:
        raise BagError(f"it lacks {few_names(gone)}, which its database names")


def facts_of_whole(path: Path, *, own: bool = False) -> DatabaseFacts:
    """What a database says that is whole and that this program can open. Raises BagError."""
    try:
        with closing(sqlite3.connect(path, isolation_level=None)) as direct:
            if not own:
                _check_schema(direct)
            check_integrity(direct)
        facts = database_facts(path)
    except sqlite3.Error as error:
        raise BagError(f"its database is damaged, or not a catalogue ({error})") from None
    known = {
        f"{app}.{name}" for app, name in MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    }
    if newer := sorted(set(facts.migrations) - known):
        raise BagError(f"it was made by a newer version of the program (its database has {newer[0]})")
    return facts


def _check_schema(direct: sqlite3.Connection) -> None:
    """Raise BagError for what could run by itself in a database that somebody else made."""
    for kind, name, text in direct.execute("SELECT type, name, sql FROM sqlite_master"):
        virtual = (text or "").lstrip().upper().startswith("CREATE VIRTUAL TABLE")
        if kind in ("trigger", "view") or (virtual and "USING FTS5" not in text.upper()):
            raise BagError(f"its database holds {name}, which no catalogue of this program has")


def few_names(names: list[str]) -> str:
    """The first of many names, and how many more there are."""
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return f"{', '.join(name[:80] for name in names[:2])}{more}"
