"""`manage.py verify`: look the whole catalogue through, and mend what is safe to mend, after asking."""

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from catalogue.exchange.verify import verify


class Command(BaseCommand):
    help = (
        "Check database, tables, papers, pictures, worked-out columns, room and backups. What is safe to "
        "mend is mended after asking. The exit code is 1 where something is amiss and was not mended."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="mend what is safe without asking")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, mend: bool, **options: Any) -> None:
        amiss = 0
        for part in verify():
            self.stdout.write(f"{'      ' if part.sound else 'AMISS '}{part.part}: {part.words}")
            if part.sound:
                continue
            if part.mend and (mend or agreed()):
                part.mend()
                self.stdout.write("      Mended.")
            else:
                amiss += 1
        if amiss:
            sys.exit(1)
        self.stdout.write("Everything is sound.")


def agreed() -> bool:
    """Ask on the terminal; no answer is no."""
    try:
        return input("Mend it? (yes/no) ").strip().lower() in ("y", "yes")
    except EOFError:
        return False
