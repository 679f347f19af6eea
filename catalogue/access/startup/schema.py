"""Schema check: every table and column that this version of the program reads is in the database.

The list of migrations that ran can say so although it isn't: a table changed by hand, a restore that stopped
half way. Found here, before a page shows half of what there is and a form overwrites the rest.
"""

from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import router
from django.db.backends.base.base import BaseDatabaseWrapper

from catalogue.access.startup import StartRefused
from catalogue.access.startup.last_backup import last_backup_offered

# One question for the whole database: one for each table takes a tenth of a second.
COLUMNS_SQL = {
    "sqlite": """
        SELECT m.name, c.name FROM sqlite_master AS m JOIN pragma_table_info(m.name) AS c
        WHERE m.type = 'table'
    """,
    "postgresql": """
        SELECT table_name, column_name FROM information_schema.columns
        WHERE table_schema = ANY (current_schemas(false))
    """,
}
# So many are named in the sentence.
NAMED_AT_MOST = 3


def check(connection: BaseDatabaseWrapper) -> None:
    """Raise StartRefused where the database lacks a table or a column; it names the first few."""
    lacking = missing(connection)
    if lacking:
        more = f" and {len(lacking) - NAMED_AT_MOST} more" if len(lacking) > NAMED_AT_MOST else ""
        raise StartRefused(
            f"The catalogue's database lacks {', '.join(lacking[:NAMED_AT_MOST])}{more}, which this version "
            f"of the program needs: nothing was changed. {last_backup_offered(Path(settings.DATA_DIR))}"
        )


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """What the database lacks, in words; empty where it is whole."""
    there: dict[str, set[str]] = {}
    with connection.cursor() as cursor:
        cursor.execute(COLUMNS_SQL[connection.vendor])
        for table, column in cursor.fetchall():
            there.setdefault(table, set()).add(column)
    lacking = []
    for table, columns in _wanted(connection).items():
        if table not in there:
            lacking.append(f"the table {table}")
        else:
            lacking += [f"the column {column} of {table}" for column in columns if column not in there[table]]
    return lacking


def _wanted(connection: BaseDatabaseWrapper) -> dict[str, list[str]]:
    """Every table of the program with its columns."""
    return {
        model._meta.db_table: [str(field.column) for field in model._meta.local_concrete_fields]
        for app in apps.get_app_configs()
        for model in router.get_migratable_models(app, connection.alias, include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
    }
