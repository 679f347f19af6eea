"""`manage.py make_pages FOLDER_OR_ZIP`: plain pages of what visitors may see, to carry away."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.template.defaultfilters import filesizeformat

from catalogue.access.startup import EXIT_CODE
from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.management.commands.backup import Line
from catalogue.pages.safekeeping.carried.make import make_pages


class Command(BaseCommand):
    help = "Write what visitors may see as plain pages to a folder or zip that needs no server."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("target", type=Path, help="a folder, or a name that ends with .zip")
        parser.add_argument("--free-only", action="store_true", help="only pieces that are free to take")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, target: Path, free_only: bool, **options: Any) -> None:
        try:
            made = make_pages(target.absolute(), free_only=free_only, progress=Line(self.stdout).show)
        except WorkRefused as error:
            raise CommandError(str(error), returncode=EXIT_CODE) from None
        except KeyboardInterrupt:
            raise CommandError(
                "Ended before all pages were made; nothing of them is left.", returncode=EXIT_CODE
            ) from None
        self.stdout.write(f"\n{made.words} {made.files} files, {filesizeformat(made.bytes)}.")
