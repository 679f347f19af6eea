"""The look at a piece before anything that can't be undone."""

from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH
from catalogue.common.records import Record
from catalogue.specimens.models import Specimen


class Check(Record):
    """Somebody looked for everything that would forbid acid; `found` are the keys of the gates that hold.

    An empty list is an answer too: looked, and nothing there. The latest one counts.
    """

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="checks")
    at = models.DateTimeField(default=timezone.now)
    found = models.JSONField(default=list, blank=True)
    note = models.CharField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return ", ".join(self.found) or "nothing found"
