"""Years known from elsewhere."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, sensible_year
from catalogue.common.records import Record

from .specimen import Specimen
from .words import Certainty


class KnownYears(Record):
    """ "Not before", "not after", a dated event: said by whom."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="known_years")
    what = models.CharField(max_length=NAME_LENGTH)
    from_year = models.PositiveSmallIntegerField(
        "not before", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField("not after", null=True, blank=True, validators=[sensible_year])
    edtf = models.CharField("years as written", max_length=60, blank=True)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    source = models.CharField(max_length=500, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(from_year__isnull=False) | Q(to_year__isnull=False) | ~Q(edtf=""),
                name="known_years_has_a_year",
                violation_error_message="Give at least one year.",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="known_years_in_order",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.what
