"""Row copy: all rows of a database that a server keeps as one SQLite file, and those of such a file put back.

A catalogue moves between the two engines this way. The copy has the tables of the steps that the database
went through, which are older than the program's while an update waits: so it can be made before one.
"""

import secrets
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connections, models, router, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.db.utils import load_backend

from catalogue.access.new_database import is_empty, make_tables
from catalogue.access.startup.sqlite_copy import PART, keep_when_whole
from catalogue.common.kept_files import new_file
from catalogue.database_url import SQLITE

Models = Sequence[type[models.Model]]
# A thousand variables and more in one statement are refused by some builds of SQLite.
ROWS_AT_ONCE = 50
ROWS_READ_AT_ONCE = 1000


def copy_server(server: BaseDatabaseWrapper, copy: Path, *, without: tuple[str, ...] = ()) -> None:
    """Write one state of a server's database to `copy`, a SQLite file that is not there yet.

    `without` names tables whose rows stay out. Never within a transaction of the same thread: every row is
    read within one of its own. Raises OSError, sqlite3.Error, DatabaseError; nothing is left then.
    """
    part = copy.with_name(f"{copy.name}{PART}")
    new_file(part).close()
    try:
        with sqlite_file(part) as target, transaction.atomic(using=server.alias):
            with server.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            tables: Models = [*tables_of(server), MigrationRecorder.Migration]
            _make_empty(target, tables)
            rows_of = [model for model in tables if model._meta.db_table not in without]
            copy_rows(server.alias, target.alias, rows_of)
        with closing(sqlite3.connect(part, isolation_level=None)) as direct:
            direct.execute("VACUUM")
        keep_when_whole(part, copy)
    finally:
        part.unlink(missing_ok=True)


def load_into_server(path: Path, server: BaseDatabaseWrapper) -> int:
    """Replace every row of a server's database by those of a SQLite file; how many rows.

    Both are brought up to this version's tables first, so that they have the same. Raises DatabaseError,
    CommandError; then the server has the rows that it had.
    """
    with sqlite_file(path) as source:
        executor = MigrationExecutor(source)
        executor.migrate(executor.loader.graph.leaf_nodes())
        if is_empty(server):
            make_tables(server)
        else:
            call_command("migrate", database=server.alias, verbosity=0, interactive=False)
        tables = present_tables()
        with transaction.atomic(using=server.alias):
            with server.cursor() as cursor:
                names = ", ".join(server.ops.quote_name(model._meta.db_table) for model in tables)
                cursor.execute(f"TRUNCATE {names}")
            copied = copy_rows(source.alias, server.alias, tables)
            with server.cursor() as cursor:
                for statement in server.ops.sequence_reset_sql(no_style(), list(tables)):
                    cursor.execute(statement)
    return copied


@contextmanager
def sqlite_file(path: Path) -> Iterator[BaseDatabaseWrapper]:
    """A SQLite file as a database of Django's under an alias of its own, for as long as the block lasts.

    Only this thread knows it: every request of the others goes through the list of all databases, which must
    not change beneath it.
    """
    alias = f"file-{secrets.token_hex(4)}"
    settings: dict[str, Any] = {**connections.settings["default"], "ENGINE": SQLITE, "NAME": str(path)}
    settings |= {"OPTIONS": {}, "TEST": {**settings["TEST"], "NAME": None}}
    connection: BaseDatabaseWrapper = load_backend(SQLITE).DatabaseWrapper(settings, alias)
    connections[alias] = connection
    try:
        yield connection
    finally:
        connection.close()
        del connections[alias]


def tables_of(store: BaseDatabaseWrapper) -> Models:
    """The models of the tables that a database has: the program's, or older ones while an update waits."""
    loader = MigrationLoader(store)
    done = [step for step in loader.applied_migrations if step in loader.graph.nodes]
    if len(done) == len(loader.graph.nodes):
        return present_tables()
    return _with_rows(loader.project_state(done).apps.get_models(include_auto_created=True))


def present_tables() -> Models:
    """Every model of the program with a table of its own, tables of many-to-many fields too."""
    return _with_rows(
        model
        for app in apps.get_app_configs()
        for model in router.get_migratable_models(app, "default", include_auto_created=True)
    )


def _with_rows(found: Any) -> Models:
    return [model for model in found if model._meta.managed and not model._meta.proxy]


def _make_empty(target: BaseDatabaseWrapper, tables: Models) -> None:
    # SQLite can change tables only while it does not watch over references, and that is switched outside.
    with (
        target.constraint_checks_disabled(),
        transaction.atomic(using=target.alias),
        target.schema_editor() as editor,
    ):
        for model in tables:
            if not model._meta.auto_created:
                editor.create_model(model)


def copy_rows(source: str, target: str, tables: Models) -> int:
    """Copy the rows of these models from one database into another with empty tables; how many.

    Values go as they are, keys and times included (no `auto_now`, no signals). References are looked at when
    all rows are there. Raises DatabaseError.
    """
    copied = 0
    there = connections[target]
    with there.constraint_checks_disabled(), transaction.atomic(using=target):
        for model in tables:
            fields = list(model._meta.local_concrete_fields)
            rows = model._base_manager.using(source).order_by("pk").iterator(chunk_size=ROWS_READ_AT_ONCE)
            while some := list(islice(rows, ROWS_AT_ONCE)):
                # `raw`: what the fields would write by themselves on saving is what was copied.
                model._base_manager._insert(some, fields=fields, using=target, raw=True)  # type: ignore[attr-defined]
                copied += len(some)
        there.check_constraints()
    return copied
