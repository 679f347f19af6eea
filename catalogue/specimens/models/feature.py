"""What was seen of how a find was made."""

from django.db import models
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record

from .specimen import Specimen
from .words import Certainty


class ObservedFeature(Record):
    """A feature of the published table, seen on this find."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="features")
    feature = models.CharField(max_length=60)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["find", "feature"], name="feature_once_on_a_find")]

    def __str__(self) -> str:
        return self.feature
