"""A consistent copy of the catalogue's database as one SQLite file, whichever engine keeps it.

SQLite is copied by `VACUUM INTO`. From a server every row is read within one REPEATABLE READ transaction and
written into new tables, so that a catalogue can move between the two.
"""

import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path
from typing import Any

from django.apps import apps
from django.db import connections, models, router, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.utils import load_backend

from catalogue.access.new_database import make_tables
from catalogue.access.startup.sqlite_copy import copy_database
from catalogue.database_url import SQLITE

# Who is signed in, and what opens the door once, belongs to this machine and not into a copy of the finds.
NOT_COPIED = (
    "django_session",
    "access_onetimekey",
    "access_apikey",
    "access_wrongpassword",
    "access_wrongkey",
)
# The index that search reads is made anew from its entries when the copy is opened.
SEARCH_INDEX = "specimens_search_"
# A thousand variables and more in one statement are refused by some builds of SQLite.
ROWS_AT_ONCE = 50


def take_snapshot(copy: Path, *, using: str = "default") -> None:
    """Write the database's present state to `copy`, a SQLite file that is not there yet.

    Never called within a transaction of the same thread. Raises OSError, sqlite3.Error, DatabaseError;
    nothing is left then.
    """
    connection = connections[using]
    if connection.vendor == "sqlite":
        copy_database(
            Path(str(connection.settings_dict["NAME"])), copy, without=NOT_COPIED, made_again=SEARCH_INDEX
        )
        return
    try:
        with sqlite_file(copy) as target, transaction.atomic(using=using):
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            make_tables(target)
            copy_rows(using, target.alias, without=NOT_COPIED)
        with closing(sqlite3.connect(copy, isolation_level=None)) as direct:
            direct.execute("VACUUM")
    except BaseException:
        copy.unlink(missing_ok=True)
        raise


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


def copied_models(*, without: tuple[str, ...] = ()) -> list[type[models.Model]]:
    """Every model with a table of its own, tables of many-to-many fields too, that a copy holds."""
    return [
        model
        for app in apps.get_app_configs()
        for model in router.get_migratable_models(app, "default", include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.db_table not in without
    ]


def copy_rows(source: str, target: str, *, without: tuple[str, ...] = ()) -> int:
    """Copy the rows of every model from one database into another with empty tables; how many.

    Values go as they are, keys and times included (no `auto_now`, no signals). References are looked at when
    all rows are there. Raises DatabaseError.
    """
    copied = 0
    there = connections[target]
    with there.constraint_checks_disabled(), transaction.atomic(using=target):
        for model in copied_models(without=without):
            fields = list(model._meta.local_concrete_fields)
            rows = model._base_manager.using(source).order_by("pk").iterator(chunk_size=1000)
            while some := list(islice(rows, ROWS_AT_ONCE)):
                # `raw`: what the fields would write by themselves on saving is what was copied.
                model._base_manager._insert(some, fields=fields, using=target, raw=True)  # type: ignore[attr-defined]
                copied += len(some)
        there.check_constraints()
    return copied
