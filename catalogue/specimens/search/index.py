"""The database's own index: made, mended, written anew. What is asked of it: `matched.py`.

On SQLite two FTS5 tables lie over the entries (external content, kept by triggers, so that they follow each
write within its transaction): one of trigrams, for parts of words and phrases, one of words with their
beginnings of one and two letters. On PostgreSQL trigrams (pg_trgm) speed up LIKE where the extension may be
made.

An entry's key is its kind's number and the record's own key, so one comparison narrows to a kind.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from django.db import DatabaseError, connection, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from catalogue.specimens.models import SearchEntry

from .kinds import SearchKind

KIND_STEP = 1 << 40
END_OF_KEYS = KIND_STEP * 100
TRIGRAMS, WORDS = "specimens_search_trigrams", "specimens_search_words"
_ENTRIES = SearchEntry._meta.db_table
_MADE_ON_SQLITE = (
    f"CREATE VIRTUAL TABLE {TRIGRAMS} USING fts5("
    f"text, content='{_ENTRIES}', content_rowid='id', tokenize='trigram case_sensitive 1')",
    f"CREATE VIRTUAL TABLE {WORDS} USING fts5("
    f"text, content='{_ENTRIES}', content_rowid='id', "
    "tokenize='unicode61 remove_diacritics 0', prefix='1 2')",
)


def _triggers() -> Iterable[str]:
    added = "".join(f"INSERT INTO {fts}(rowid, text) VALUES (new.id, new.text);" for fts in (TRIGRAMS, WORDS))
    gone = "".join(
        f"INSERT INTO {fts}({fts}, rowid, text) VALUES ('delete', old.id, old.text);"
        for fts in (TRIGRAMS, WORDS)
    )
    for name, when, then in (
        ("added", "AFTER INSERT", added),
        ("gone", "AFTER DELETE", gone),
        ("changed", "AFTER UPDATE OF text", gone + added),
    ):
        yield (f"CREATE TRIGGER IF NOT EXISTS specimens_search_{name} {when} ON {_ENTRIES} BEGIN {then} END")


def make_index(store: BaseDatabaseWrapper) -> None:
    """Make the index where it is missing and can be had. Safe to call again; runs after every migration."""
    with store.cursor() as cursor:
        if _ENTRIES not in store.introspection.table_names(cursor):
            return
        if store.vendor == "sqlite":
            _make_on_sqlite(store, cursor)
        elif store.vendor == "postgresql":
            _make_on_postgresql(store, cursor)


def make_after_migrating(using: str, **_: Any) -> None:
    """The index of a database whose tables are up to date."""
    make_index(connections[using])


def _make_on_sqlite(store: BaseDatabaseWrapper, cursor: Any) -> None:
    cursor.execute("SELECT name FROM sqlite_master WHERE name = %s OR type = 'trigger'", [TRIGRAMS])
    there = {name for (name,) in cursor.fetchall()}
    if {TRIGRAMS, "specimens_search_added", "specimens_search_changed", "specimens_search_gone"} <= there:
        return
    try:
        with transaction.atomic(using=store.alias):
            # A table remade by a migration lost its triggers, and what was written since is not in it.
            for table in (TRIGRAMS, WORDS):
                cursor.execute(f"DROP TABLE IF EXISTS {table}")
            for statement in (*_MADE_ON_SQLITE, *_triggers()):
                cursor.execute(statement)
            rebuild(cursor)
    except DatabaseError:
        # An SQLite without FTS5, or older than its trigrams (3.34): LIKE does it.
        return


@contextmanager
def index_made_anew() -> Iterator[None]:
    """Around the writing of very many entries: read once at its end, not one by one. In a transaction."""
    if has_fts():
        with connection.cursor() as cursor:
            for trigger in ("added", "changed", "gone"):
                cursor.execute(f"DROP TRIGGER IF EXISTS specimens_search_{trigger}")
    yield
    make_index(connection)


def rebuild(cursor: Any) -> None:
    """Read every entry anew. SQLite alone."""
    for table in (TRIGRAMS, WORDS):
        cursor.execute(f"INSERT INTO {table}({table}) VALUES ('rebuild')")


def _make_on_postgresql(store: BaseDatabaseWrapper, cursor: Any) -> None:
    try:
        with transaction.atomic(using=store.alias):
            cursor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
            cursor.execute(
                f"CREATE INDEX IF NOT EXISTS {TRIGRAMS} ON {_ENTRIES} USING gin (text gin_trgm_ops)"
            )
    except DatabaseError:
        # Not allowed to make the extension: LIKE does it.
        return


def has_fts() -> bool:
    """Whether the two tables are there. One small query."""
    if connection.vendor != "sqlite":
        return False
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM sqlite_master WHERE name IN (%s, %s)", [TRIGRAMS, WORDS])
        return bool(cursor.fetchone()[0] == 2)


def forget_deleted_words() -> None:
    """Write the index anew: words of deleted entries are nowhere in the file. After erasing a person."""
    if has_fts():
        with connection.cursor() as cursor:
            for table in (TRIGRAMS, WORDS):
                cursor.execute(f"INSERT INTO {table}({table}) VALUES ('optimize')")


def index_agrees() -> bool:
    """Whether the index holds what the entries hold (FTS5's own check); true where there is none."""
    if not has_fts():
        return connection.vendor != "sqlite" or not _can_have_fts()
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            for table in (TRIGRAMS, WORDS):
                # rank 1: compare with the content too
                cursor.execute(f"INSERT INTO {table}({table}, rank) VALUES ('integrity-check', 1)")
    except DatabaseError:
        return False
    return True


def mend_index() -> None:
    """Make the index where it should be, and anew where it holds something else than the entries."""
    make_index(connection)
    if not index_agrees():
        with connection.cursor() as cursor:
            rebuild(cursor)


def _can_have_fts() -> bool:
    with connection.cursor() as cursor:
        try:
            with transaction.atomic():
                cursor.execute(
                    "CREATE VIRTUAL TABLE temp.specimens_search_tried USING fts5(a, tokenize='trigram')"
                )
                cursor.execute("DROP TABLE temp.specimens_search_tried")
        except DatabaseError:
            return False
    return True


def key_of(kind: SearchKind, pk: int) -> int:
    """The key of a record's entry."""
    return kind.code * KIND_STEP + pk
