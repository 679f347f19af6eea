"""Glassmakers and their works, the published and the user's own under one roof."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, sensible_year
from catalogue.common.records import LiveManager, Record, RecordQuerySet

from .towns import Town


class MakerQuerySet(RecordQuerySet["Maker"]):
    def own(self) -> Self:
        return self.filter(reference_key="")

    def published(self) -> Self:
        return self.exclude(reference_key="")


LiveMakerManager = LiveManager.from_queryset(MakerQuerySet)
WholeMakerManager = models.Manager.from_queryset(MakerQuerySet)


class Maker(Record):
    """A glassmaker. `reference_key` is filled for one that comes with the published tables."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    place = models.CharField("where", max_length=NAME_LENGTH, blank=True)
    country = models.CharField(max_length=2, blank=True, help_text="Two letters, such as US or GB.")
    from_year = models.PositiveSmallIntegerField(
        "in business from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField(
        "in business to", null=True, blank=True, validators=[sensible_year]
    )
    followed = models.ForeignKey(
        "self",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="followed_by",
        verbose_name="took over from",
    )
    source = models.CharField(max_length=500, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    reference_key = models.CharField(max_length=300, blank=True, editable=False)
    history = HistoricalRecords()

    # Not stored: how many finds changed their phrase when it was last kept in this process.
    rephrased: int = 0

    objects: ClassVar = LiveMakerManager()
    everything: ClassVar = WholeMakerManager()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["reference_key"], condition=~Q(reference_key=""), name="maker_once_from_the_tables"
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="maker_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("makers:maker", args=[self.slug])

    @property
    def is_own(self) -> bool:
        return not self.reference_key


class Works(Record):
    """One works of a maker."""

    maker = models.ForeignKey(Maker, on_delete=models.CASCADE, related_name="works")
    name = models.CharField(max_length=NAME_LENGTH)
    town = models.ForeignKey(Town, on_delete=models.SET_NULL, null=True, blank=True, related_name="works")
    from_year = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    to_year = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["from_year", "name"]
        verbose_name_plural = "works"
        constraints = [
            models.UniqueConstraint(fields=["maker", "name"], name="works_once_for_a_maker"),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="works_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return self.name
