"""`manage.py verify`: look the whole catalogue through, and mend what is safe to mend, after asking."""

import sys
from argparse import ArgumentParser
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from catalogue.access.startup import EXIT_CODE, database
from catalogue.exchange.verify import VerifiedPart, verify


class Command(BaseCommand):
    help = (
        "Check database, tables, papers, pictures, worked-out columns, room and backups. What is safe to "
        "mend is mended after asking. The exit code is 1 where something is amiss and was not mended."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="mend what is safe without asking")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, mend: bool, **options: Any) -> None:
        path = database.file()
        if path and not path.exists():
            words = f"There is no catalogue in {settings.DATA_DIR}: name its folder with --data."
            raise CommandError(words, returncode=EXIT_CODE)
        amiss = 0
        for part in verify():
            self.tell(part)
            if not part.sound and not (part.mend and (mend or agreed()) and self.mended(part.mend)):
                amiss += 1
        if amiss:
            sys.exit(1)
        self.stdout.write("Everything is sound.")

    def tell(self, part: VerifiedPart) -> None:
        self.stdout.write(f"{'      ' if part.sound else 'AMISS '}{part.part}: {part.words}")

    def mended(self, mend: Callable[[], VerifiedPart]) -> bool:
        """Mend it, and tell what is there afterwards; whether that is sound."""
        try:
            after = mend()
        except (DatabaseError, OSError) as error:
            self.stdout.write(f"      It could not be mended ({database.one_line(error)}).")
            return False
        if after.sound:
            self.stdout.write("      Mended.")
        else:
            self.tell(after)
        return after.sound


def agreed() -> bool:
    """Ask on the terminal; no answer is no."""
    try:
        return input("Mend it? (yes/no) ").strip().lower() in ("y", "yes")
    except EOFError:
        print()
        return False
