"""Towns that a piece is marked for."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record


class Town(Record):
    """Where a bottler sold, not where the glass was made."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    region = models.CharField("state or county", max_length=100, blank=True)
    country = models.CharField(max_length=2, blank=True, help_text="Two letters, such as US or GB.")
    latitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)]
    )
    longitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    from_gazetteer = models.BooleanField(default=False, editable=False)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "region"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "region", "country"],
                name="town_once",
                violation_error_message="That town is already in the catalogue.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.region}" if self.region else self.name

    def get_absolute_url(self) -> str:
        return reverse("towns:town", args=[self.slug])
