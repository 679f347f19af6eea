"""A maker's mark as it was read."""

from django.db import models
from simple_history.models import HistoricalRecords

from catalogue.common.records import Record

from .specimen import Specimen
from .words import Certainty, Where


class MarkReading(Record):
    """Letters, symbol, frame and what stands around them.

    A character field is null where nobody looked, empty where somebody looked and there was nothing,
    and "?" where something is there that can't be read. The same holds for `frame` and `arrangement`
    (null = not looked) and `symbol` ("" = none there).
    """

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="readings")
    where = models.CharField(max_length=10, choices=Where, default=Where.BASE)
    letters = models.CharField(max_length=60, blank=True)
    symbol = models.CharField(max_length=40, null=True, blank=True)
    frame = models.CharField(max_length=30, null=True, blank=True)
    arrangement = models.CharField(max_length=30, null=True, blank=True)
    left = models.CharField(max_length=20, null=True, blank=True)
    right = models.CharField(max_length=20, null=True, blank=True)
    above = models.CharField(max_length=20, null=True, blank=True)
    below = models.CharField(max_length=20, null=True, blank=True)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        parts = [self.left, self.letters or self.symbol, self.right]
        return " ".join(part for part in parts if part)
