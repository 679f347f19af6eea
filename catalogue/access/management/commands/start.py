"""Open the catalogue on this machine."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from catalogue.access.startup import ground, options


class Command(BaseCommand):
    help = "Open the catalogue on this machine, and print and open the link that lets its owner in."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        options.add_to(parser)

    def handle(self, *args: Any, **chosen: Any) -> None:
        if ground.current is None:
            raise CommandError("Start with: python manage.py start")
        from catalogue.access.startup.opening import open_catalogue

        open_catalogue(ground.current)
