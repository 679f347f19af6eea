"""A dive, and the ordinals dives are given."""

from typing import ClassVar, Self

from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, at_most, not_in_future, not_negative
from catalogue.common.records import LiveManager, Record, RecordQuerySet
from catalogue.people.models import Person

from .site import Site


class DiveSeries(models.Model):
    """The last ordinal given in a year; it only grows, so that a lost dive's ordinal is never given again."""

    year = models.PositiveSmallIntegerField(unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.year}: {self.last}"


class DiveQuerySet(RecordQuerySet["Dive"]):
    def latest_first(self) -> Self:
        return self.order_by("-date", "-ordinal")


LiveDiveManager = LiveManager.from_queryset(DiveQuerySet)
WholeDiveManager = models.Manager.from_queryset(DiveQuerySet)


class Dive(Record):
    """One dive at one site; `year` and `ordinal` are fixed once given: finds are numbered by them."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="dives")
    date = models.DateField(validators=[not_in_future])
    year = models.PositiveSmallIntegerField(editable=False)
    ordinal = models.PositiveIntegerField(editable=False)
    start = models.TimeField("went in at", null=True, blank=True)
    minutes = models.PositiveIntegerField(null=True, blank=True, validators=[at_most(1440, "minutes")])
    depth_m = models.DecimalField(
        "greatest depth, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(350, "m")],
    )
    visibility_m = models.DecimalField(
        "visibility, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(100, "m")],
    )
    water_c = models.DecimalField(
        "water, °C",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[at_most(45, "°C")],
    )
    buddies = models.ManyToManyField(Person, blank=True, related_name="dives", verbose_name="with")
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    objects: ClassVar = LiveDiveManager()
    everything: ClassVar = WholeDiveManager()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-date", "-ordinal"]
        constraints = [
            models.UniqueConstraint(fields=["year", "ordinal"], name="dive_ordinal_once_in_a_year"),
            models.CheckConstraint(
                condition=models.Q(depth_m__isnull=True) | models.Q(depth_m__range=(0, 350)),
                name="dive_depth_possible",
            ),
        ]
        indexes = [
            # the dives page and a site's page: latest first
            models.Index(fields=["-date", "-ordinal"], name="dive_latest_first"),
        ]

    def __str__(self) -> str:
        return f"Dive {self.ordinal} of {self.year}, {self.site}"

    def get_absolute_url(self) -> str:
        return reverse("dives:dive", args=[self.year, self.ordinal])
