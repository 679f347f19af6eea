"""The works of a maker."""

from typing import ClassVar

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, sensible_year
from catalogue.common.records import Record

from .trade import Maker, Town


class Works(Record):
    """One works of a maker."""

    maker = models.ForeignKey(Maker, on_delete=models.CASCADE, related_name="works")
    name = models.CharField(max_length=NAME_LENGTH)
    town = models.ForeignKey(Town, on_delete=models.SET_NULL, null=True, blank=True, related_name="works")
    from_year = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    to_year = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    history = HistoricalRecords()

    TAKES: ClassVar = {("from_year", "to_year"): (), ("town",): ()}

    class Meta(Record.Meta):
        abstract = False
        ordering = [F("from_year").asc(nulls_last=True), "name"]
        verbose_name_plural = "works"
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "name"],
                condition=Q(binned_at__isnull=True),
                name="works_once_for_a_maker",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="works_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return self.name
