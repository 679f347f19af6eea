"""`manage.py check_derived`: compare the derived columns with what they should be."""

import random
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from catalogue.specimens.derived.check import Difference, differences, differences_elsewhere, mend
from catalogue.specimens.models import Specimen

SAMPLE = 200
# Of a value: a search text may be as long as a page.
VALUE_LENGTH = 120


class Command(BaseCommand):
    help = (
        "Work out again what is stored of finds (years, maker shown, what search reads), of places and of "
        "series of numbers, and list what differs. The exit code is 1 where anything differs, 0 once mended."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        which = parser.add_mutually_exclusive_group()
        which.add_argument("--all", action="store_true", help="every find, the bin included")
        which.add_argument(
            "--sample", type=int, default=SAMPLE, help=f"so many finds, taken at random ({SAMPLE})"
        )
        parser.add_argument("--mend", action="store_true", help="write what should be stored")

    def handle(self, *args: Any, **options: Any) -> None:
        keys = list(Specimen.everything.order_by("pk").values_list("pk", flat=True))
        if not options["all"]:
            keys = random.sample(keys, min(len(keys), max(0, options["sample"])))
        found = 0
        for difference in (*differences_elsewhere(), *differences(keys)):
            found += 1
            self.stdout.write(_line(difference))
        finds = f"{len(keys)} find{'' if len(keys) == 1 else 's'}"
        if not found:
            self.stdout.write(f"Everything agrees ({finds} looked at).")
            return
        if options["mend"]:
            mend(keys)
            self.stdout.write(f"{found} mended ({finds} looked at).")
            return
        self.stdout.write(f"{found} differ ({finds} looked at); --mend writes what is expected.")
        sys.exit(1)


def _line(difference: Difference) -> str:
    stored, expected = (_short(value) for value in (difference.stored, difference.expected))
    return f"{difference.of} {difference.column}: stored {stored}, expected {expected}"


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= VALUE_LENGTH else f"{text[: VALUE_LENGTH - 1]}…"
