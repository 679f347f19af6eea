"""`manage.py redate`: bring every stored window up to date."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from catalogue.specimens.derived.redating import redate_all, redate_stale
from catalogue.specimens.models import PhraseChange, Specimen


class Command(BaseCommand):
    help = (
        "Redate finds whose stored years were computed with other tables or in another year. "
        "Interrupted, it goes on where it was. Says which phrases changed, from what to what."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--all", action="store_true", help="redate every find, also what is up to date")
        parser.add_argument("--batch", type=int, default=500, help="finds at a time (500)")

    def handle(self, *args: Any, **options: Any) -> None:
        last = PhraseChange.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
        batch = max(1, options["batch"])
        steps = (
            redate_all(Specimen.everything.all(), batch=batch)
            if options["all"]
            else redate_stale(batch=batch)
        )
        progress = None
        try:
            for progress in steps:
                self.stdout.write(f"\r{progress.done} of {progress.total}", ending="")
                self.stdout.flush()
        except KeyboardInterrupt:
            self.stdout.write("\nStopped; what is done is kept. Run it again to go on.")
        if progress is None:
            self.stdout.write("Everything is up to date.")
            return
        self.stdout.write("")
        for change in PhraseChange.objects.filter(pk__gt=last).select_related("find").order_by("pk"):
            self.stdout.write(f"{change.find.number}: {change.was} → {change.now}")
        self.stdout.write(f"{progress.done} redated, {progress.changed} phrases changed.")
