"""`manage.py photos check`: every original against its digest, missing sizes made, leftovers named."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError

from catalogue.photos.services import sweep
from catalogue.photos.services.integrity import check_pictures


class Command(BaseCommand):
    help = "Check the pictures of the catalogue, or sweep away what is left over of them."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["check", "sweep"])

    def handle(self, *args: object, what: str, **options: object) -> None:
        if what == "sweep":
            self.stdout.write(f"{sweep()} files left over for more than a day were removed.")
            return
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
