"""A find that left."""

from django.db import models
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, not_in_future
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen


class HandOver(Record):
    """Given to a person with a slip that tells its story and its cautions. The find's record stays."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="handovers")
    person = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="handovers"
    )
    on = models.DateField(validators=[not_in_future])
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    # The slip's text as it was on that day: the record may change later.
    slip = models.TextField(blank=True, editable=False)
    came_back_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.find_id} handed over on {self.on}"
