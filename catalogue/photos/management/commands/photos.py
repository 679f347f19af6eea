"""`manage.py photos check` (checksums, missing sizes, leftovers) and `photos set-aside` (quarantine)."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError
from django.template.defaultfilters import filesizeformat

from catalogue.photos.services import set_aside
from catalogue.photos.services.integrity import check_pictures


class Command(BaseCommand):
    help = "Check the pictures of the catalogue, or set aside the originals that belong to nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["check", "set-aside"])
        most = set_aside.MOST_MOVED_UNASKED
        parser.add_argument("--all", action="store_true", help=f"set aside also more than {most}")

    def handle(self, *args: object, what: str, all: bool, **options: object) -> None:
        if what == "set-aside":
            self.move(also_many=all)
        else:
            self.read_all()

    def move(self, *, also_many: bool) -> None:
        """Move originals without a row to today's folder; nothing is deleted."""
        found = set_aside.leftovers()
        if len(found) > set_aside.MOST_MOVED_UNASKED and not also_many:
            told = set_aside.FileCount.of(found)
            raise CommandError(
                f"{told.count} originals ({filesizeformat(told.bytes)}) belong to nothing, which is many: "
                "look whether this is the right database, then say set-aside --all."
            )
        moved = set_aside.set_aside(found)
        self.stdout.write(
            f"{moved.count} originals ({filesizeformat(moved.bytes)}) set aside in {set_aside.folder()}."
        )

    def read_all(self) -> None:
        """Read every original."""
        report = check_pictures()
        self.stdout.write(f"{report.checked} originals read and compared.")
        if report.sizes_made:
            self.stdout.write(f"Sizes made anew for {report.sizes_made}.")
        for path in report.left_over:
            self.stdout.write(f"Left over, belongs to no picture: {path}")
        for line in [*report.missing, *report.damaged]:
            self.stderr.write(line)
        if not report.sound:
            bad = len(report.missing) + len(report.damaged)
            raise CommandError(f"{bad} originals are not sound: bring them back from a backup.", returncode=1)
        self.stdout.write("All originals are sound.")
