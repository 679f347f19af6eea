"""`manage.py restore FILE`: a backup checked whole, unpacked beside the catalogue, then put in its place."""

import getpass
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connections
from django.template.defaultfilters import filesizeformat

from catalogue.access.startup import EXIT_CODE, StartRefused, database, folder, lock, restore_swap
from catalogue.database_url import FILE
from catalogue.exchange.backup import locked
from catalogue.exchange.backup.archive import Interrupted
from catalogue.exchange.backup.locked import PasswordRefused
from catalogue.exchange.backup.restore import Checked, RestoreError, unpack
from catalogue.exchange.backup.server import load_into_server
from catalogue.exchange.management.commands.backup import Line


class Command(BaseCommand):
    help = "Check a backup, say what it holds, and put it in the place of the catalogue in the data folder."
    # The database may be missing, damaged or of an older version: that is what it is for.
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a backup: a zip, or the folder of an unpacked one")
        parser.add_argument("--yes", action="store_true", help="do not ask before the swap")
        parser.add_argument("--data", metavar="DIR", help="folder of the catalogue")

    def handle(self, *args: Any, file: Path, yes: bool, **options: Any) -> None:
        place = Path(settings.DATA_DIR)
        try:
            with held(place):
                checked = self.unpack(file.absolute(), place)
                if not yes and not agreed(checked, place):
                    restore_swap.give_up(place)
                    raise CommandError("Not restored; nothing was changed.", returncode=EXIT_CODE)
                self.swap(place)
        except (StartRefused, RestoreError, PasswordRefused, Interrupted) as error:
            raise CommandError(str(error), returncode=EXIT_CODE) from None
        except KeyboardInterrupt:
            restore_swap.give_up(place)
            raise CommandError("Ended; nothing was changed.", returncode=EXIT_CODE) from None

    def unpack(self, file: Path, place: Path) -> Checked:
        """Check and unpack; asks for the password where it is under one."""
        word = ""
        if not file.is_dir() and locked.is_locked(file):
            word = getpass.getpass("Password of the backup: ")
        return unpack(file, place, password=word, progress=Line(self.stdout).show)

    def swap(self, place: Path) -> None:
        """Put what was unpacked in its place: files by renaming, rows of a server within one transaction."""
        connections.close_all()
        path = database.file()
        if path is None:
            load_into_server(restore_swap.waiting_room(place) / FILE)
        kept = restore_swap.swap(place, path)
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


def agreed(checked: Checked, place: Path) -> bool:
    """Say what the backup holds, and ask."""
    contents = checked.contents
    lacks = len(contents.missing)
    print(
        f"\n{checked.path.name}, made {contents.made}: {contents.finds} finds, {contents.pictures} pictures, "
        f"{filesizeformat(checked.bytes)}; every file was compared with its digest."
        + (f" {lacks} originals were missing when it was made." if lacks else "")
        + f"\nIt takes the place of the catalogue in {place}; what is there now is kept beside it."
    )
    try:
        return input("Put it in its place? (yes/no) ").strip().lower() in ("y", "yes")
    except EOFError:
        return False
