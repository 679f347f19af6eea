"""A find promised to somebody, and one that left."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, not_in_future
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen


class Promise(Record):
    """Open until it is kept (the find is handed over) or withdrawn."""

    class Ended(models.TextChoices):
        KEPT = "kept", "kept"
        WITHDRAWN = "withdrawn", "withdrawn"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="promises")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="promises")
    on = models.DateField(validators=[not_in_future])
    until = models.DateField(null=True, blank=True)
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    ended = models.CharField(max_length=10, choices=Ended, blank=True)
    ended_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended="", ended_on__isnull=True) | (~Q(ended="") & Q(ended_on__isnull=False)),
                name="promise_ended_and_day_agree",
                violation_error_message="Say how it ended and on which day, or neither.",
            ),
            models.UniqueConstraint(
                fields=["find"],
                condition=Q(ended="", binned_at__isnull=True),
                name="one_open_promise_for_a_find",
                violation_error_message="This piece is already promised.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.find_id} promised to {self.person}"


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
