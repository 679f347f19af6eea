"""Bring the database up to date: a new one is made whole at once, any other is copied before it changes."""

from typing import Any

from django.core.management.base import CommandError
from django.core.management.commands import migrate
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor

from catalogue.access.new_database import is_empty, make_tables
from catalogue.access.startup import EXIT_CODE, StartRefused, migration_backup

# With these it only tells, or tidies up what is written down.
CHANGES_NO_TABLE = ("plan", "check_unapplied", "prune")


class Command(migrate.Command):
    def handle(self, *args: Any, **options: Any) -> None:
        whole = not any(options.get(key) for key in ("app_label", "fake", *CHANGES_NO_TABLE))
        connection = connections[options["database"]]
        connection.prepare_database()
        if whole and is_empty(connection):
            make_tables(connection)
        elif not any(options.get(key) for key in CHANGES_NO_TABLE) and (
            options.get("app_label") or is_behind(connection)
        ):
            try:
                migration_backup.secure(connection)
            except StartRefused as refused:
                raise CommandError(str(refused), returncode=EXIT_CODE) from None
        super().handle(*args, **options)


def is_behind(connection: BaseDatabaseWrapper) -> bool:
    """Whether a migration is waiting to be applied."""
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
