"""Who filled the bottles, and with what."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, sensible_year
from catalogue.common.records import Record

from .towns import Town
from .words import Contents


class Bottler(Record):
    """A firm that filled and sold; its years in business are evidence."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    town = models.ForeignKey(Town, on_delete=models.SET_NULL, null=True, blank=True, related_name="bottlers")
    from_year = models.PositiveSmallIntegerField(
        "in business from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField(
        "in business to", null=True, blank=True, validators=[sensible_year]
    )
    source = models.CharField(max_length=500, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "town"],
                name="bottler_once_in_a_town",
                violation_error_message="There is already a bottler of that name there.",
            ),
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(town__isnull=True),
                name="bottler_once_without_a_town",
                violation_error_message="There is already a bottler of that name.",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="bottler_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Product(Record):
    """What was sold in it, by name."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    bottler = models.ForeignKey(
        Bottler, on_delete=models.SET_NULL, null=True, blank=True, related_name="products"
    )
    contents = models.CharField(max_length=10, choices=Contents, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["name", "bottler"], name="product_once_for_a_bottler"),
            models.UniqueConstraint(
                fields=["name"], condition=Q(bottler__isnull=True), name="product_once_without_a_bottler"
            ),
        ]

    def __str__(self) -> str:
        return self.name
