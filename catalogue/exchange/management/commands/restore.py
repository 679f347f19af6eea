"""`manage.py restore FILE`: a backup checked whole, unpacked beside the catalogue, then put in its place."""

import getpass
import sqlite3
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connections
from django.template.defaultfilters import filesizeformat

from catalogue.access.startup import (
    EXIT_CODE,
    StartRefused,
    database,
    folder,
    lock,
    migration_backup,
    restore_swap,
    server_restore,
)
from catalogue.exchange.backup import locked
from catalogue.exchange.backup.copying import Interrupted
from catalogue.exchange.backup.locked import PasswordRefused
from catalogue.exchange.backup.restore import Checked, RestoreError, unpack, unpack_copy
from catalogue.exchange.backup.town_lists import lists_words
from catalogue.exchange.management.commands.backup import Line


class Command(BaseCommand):
    help = "Check a backup, say what it holds, and put it in the place of the catalogue in the data folder."
    # The database may be missing, damaged or of an older version: that is what it is for.
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", type=Path, help="a backup: a zip, the folder of a day, or a copy from before an update"
        )
        parser.add_argument("--yes", action="store_true", help="do not ask before the swap")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, file: Path, yes: bool, **options: Any) -> None:
        place = Path(settings.DATA_DIR)
        try:
            with held(place):
                held_in_it = self.unpack(file.absolute(), place)
                if not yes and not agreed(held_in_it, place):
                    restore_swap.give_up(place)
                    raise CommandError("Not restored; nothing was changed.", returncode=EXIT_CODE)
                self.swap(place)
        except (StartRefused, RestoreError, PasswordRefused, Interrupted) as error:
            raise CommandError(str(error), returncode=EXIT_CODE) from None
        except KeyboardInterrupt:
            restore_swap.give_up(place)
            raise CommandError("Ended; nothing was changed.", returncode=EXIT_CODE) from None

    def unpack(self, file: Path, place: Path) -> str:
        """Check and unpack; what it holds, in words. Asks for the password where it is under one."""
        if migration_backup.is_copy(file):
            finds = unpack_copy(file, place)
            return f"{file.name}, the database before an update: {finds} finds. Pictures stay as they are."
        word = ""
        if not file.is_dir() and locked.is_locked(file):
            word = getpass.getpass("Password of the backup: ")
        return told(unpack(file, place, password=word, progress=Line(self.stdout).show))

    def swap(self, place: Path) -> None:
        """Put what was unpacked in its place: files by renaming, rows of a server within one transaction."""
        connections.close_all()
        path = database.file()
        try:
            kept = restore_swap.swap(place, path) if path else server_restore.swap_on_server(place)
        except (DatabaseError, sqlite3.Error, OSError) as error:
            raise RestoreError(
                f"The server could not take the restored rows ({database.one_line(error)}): it has what it "
                "had. What was restored waits; the next start tries again."
            ) from None
        before = f" What was there before lies in {kept}." if kept and kept.exists() else ""
        self.stdout.write(f"Restored to {place}.{before} Start the catalogue to open it.")


@contextmanager
def held(place: Path) -> Iterator[None]:
    """The data folder made, and locked, so that no catalogue is open on it. Raises StartRefused."""
    folder.make(place)
    handle = lock.take(place, "a restore that runs just now")
    try:
        yield
    finally:
        lock.let_go(handle)


def told(checked: Checked) -> str:
    """What a checked backup holds."""
    contents = checked.contents
    lacks = f" {len(contents.missing)} originals were missing when it was made." if contents.missing else ""
    return (
        f"{checked.path.name}, made {contents.made}: {contents.finds} finds, {contents.pictures} pictures, "
        f"{filesizeformat(checked.bytes)}; every file was compared with its digest.{lacks}"
        f"{lists_words(checked.towns)}"
    )


def agreed(held_in_it: str, place: Path) -> bool:
    """Say what the backup holds, and ask."""
    print(
        f"\n{held_in_it}\n"
        f"It takes the place of the catalogue in {place}; what is there now is kept beside it."
    )
    try:
        return input("Put it in its place? (yes/no) ").strip().lower() in ("y", "yes")
    except EOFError:
        return False
