"""`manage.py backup FILE`: everything that can't be made again, in one file, while pages are served."""

import getpass
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.template.defaultfilters import filesizeformat

from catalogue.access.startup import EXIT_CODE
from catalogue.exchange.backup.copying import BackupError
from catalogue.exchange.backup.write import back_up_to


class Command(BaseCommand):
    help = "Write a backup of the whole catalogue to one file, and read it back before it is called done."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a zip that is not there yet, best on another disk")
        parser.add_argument("--password", action="store_true", help="ask for a password to lock it with")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, file: Path, password: bool, **options: Any) -> None:
        try:
            word = ask_twice() if password else ""
            written = back_up_to(file.absolute(), password=word, progress=Line(self.stdout).show)
        except BackupError as error:
            raise CommandError(str(error), returncode=EXIT_CODE) from None
        except KeyboardInterrupt:
            raise CommandError(
                "Ended before it was whole; nothing of it is left.", returncode=EXIT_CODE
            ) from None
        self.stdout.write(
            f"\n{written.path}: {written.contents.finds} finds, {written.contents.pictures} pictures, "
            f"{filesizeformat(written.bytes)}, read back and whole."
        )
        for name in written.contents.missing:
            self.stderr.write(f"Missing on this disk, so not in it: {name}")
        for name in written.contents.damaged:
            self.stderr.write(f"Damaged on this disk, and so in it: {name}")


class Line:
    """Progress on one line of a terminal; nothing where the output goes elsewhere."""

    def __init__(self, out: Any) -> None:
        self.out, self.shown = out, -1

    def show(self, done: int, of: int) -> None:
        percent = 100 * done // of if of else 100
        if percent != self.shown and sys.stdout.isatty():
            self.out.write(f"\r{percent} %", ending="")
            self.out.flush()
            self.shown = percent


def ask_twice() -> str:
    """A password from the terminal. Raises BackupError where the two differ."""
    print("If this password is lost, nobody can open the backup: there is no way back.")
    first = getpass.getpass("Password: ")
    if first != getpass.getpass("Once more: "):
        raise BackupError("The two passwords are not the same: no backup was made.")
    return first
