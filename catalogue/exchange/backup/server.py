"""A restored database put into a server: rows replaced in one transaction, series counted on from them."""

from pathlib import Path

from django.core.management.color import no_style
from django.db import connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor

from catalogue.access.new_database import is_empty, make_tables
from catalogue.exchange.backup.snapshot import copied_models, copy_rows, sqlite_file


def load_into_server(path: Path) -> int:
    """Replace every row of the server's database by those of a SQLite file; how many rows.

    The file is brought up to this version's tables first, so that both have the same. Raises DatabaseError;
    then the server has what it had.
    """
    with sqlite_file(path) as source:
        executor = MigrationExecutor(connections[source.alias])
        executor.migrate(executor.loader.graph.leaf_nodes())
        if is_empty(connection):
            make_tables(connection)
        with transaction.atomic():
            models = copied_models()
            with connection.cursor() as cursor:
                names = ", ".join(connection.ops.quote_name(model._meta.db_table) for model in models)
                cursor.execute(f"TRUNCATE {names}")
            copied = copy_rows(source.alias, "default")
            with connection.cursor() as cursor:
                for statement in connection.ops.sequence_reset_sql(no_style(), models):
                    cursor.execute(statement)
    return copied
