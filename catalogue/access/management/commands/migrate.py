"""Bring the database up to date; a new one is made whole at once."""

from typing import Any

from django.core.management.commands import migrate
from django.db import connections

from catalogue.access.new_database import is_empty, make_tables


class Command(migrate.Command):
    def handle(self, *args: Any, **options: Any) -> None:
        whole = not any(options.get(key) for key in ("app_label", "fake", "plan", "check_unapplied", "prune"))
        connection = connections[options["database"]]
        connection.prepare_database()
        if whole and is_empty(connection):
            make_tables(connection)
        super().handle(*args, **options)
