"""The checklist of a piece that keeps its growth."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen

from .treatment import Treatment


class WorkStep(Record):
    """One step begun on a piece; done, it has its treatment. `step` is a key of the list of steps."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="work_steps")
    step = models.CharField(max_length=20)
    begun_at = models.DateTimeField()
    done_at = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)
    photos = models.ManyToManyField(Photo, blank=True, related_name="+")
    treatment = models.OneToOneField(
        Treatment, on_delete=models.SET_NULL, null=True, blank=True, related_name="work_step"
    )
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["begun_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["find", "step"], condition=Q(binned_at__isnull=True), name="step_once_on_a_piece"
            ),
            models.CheckConstraint(
                condition=Q(done_at__isnull=True) | Q(done_at__gte=F("begun_at")),
                name="step_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return self.step
