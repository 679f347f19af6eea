"""Open the catalogue on this machine."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalogue.access.startup import bootstrap, options


class Command(BaseCommand):
    """`start`: what `bootstrap` settled before Django was set up goes to the server."""

    help = "Open the catalogue on this machine, and print and open the link that lets its owner in."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        options.add_to(parser)

    def handle(self, *args: Any, **chosen: Any) -> None:
        if bootstrap.current is None:
            raise CommandError("Start with: python manage.py start")
        from catalogue.access.startup.server import open_catalogue

        open_catalogue(bootstrap.current)
