"""Soaking the salt out: pieces in one water, its changes and its readings."""

from datetime import timedelta

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.care.plateau import STANDING_SHARE, PlateauRule
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, at_most, not_negative
from catalogue.common.records import Record
from catalogue.specimens.models import Specimen

from .treatment import Treatment
from .vessel import Vessel


class Soak(Record):
    """A batch in one water, with the rule by which it counts as ready."""

    class Unit(models.TextChoices):
        CONDUCTIVITY = "us", "µS/cm"
        CHLORIDE = "cl", "mg/l chloride"

    name = models.CharField(max_length=NAME_LENGTH, help_text="Blue crate, tank by the door.")
    vessel = models.ForeignKey(Vessel, on_delete=models.SET_NULL, null=True, blank=True, related_name="soaks")
    began_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)
    unit = models.CharField("readings in", max_length=2, choices=Unit, default=Unit.CONDUCTIVITY)
    tap = models.DecimalField(
        "the tap water's own reading",
        max_digits=8,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(100_000, "")],
    )
    change_every_days = models.PositiveSmallIntegerField(
        "change the water every … days", default=1, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )
    rule_last = models.PositiveSmallIntegerField(
        "readings that must agree", default=3, validators=[MinValueValidator(2), MaxValueValidator(10)]
    )
    rule_within_pct = models.PositiveSmallIntegerField(
        "they agree within, %", default=5, validators=[MinValueValidator(1), MaxValueValidator(50)]
    )
    rule_near_tap_pct = models.PositiveSmallIntegerField(
        "at most above the tap, %", default=10, validators=[MaxValueValidator(200)]
    )
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("began_at")),
                name="soak_ends_after_it_begins",
                violation_error_message="It can't end before it began.",
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def rule(self) -> PlateauRule:
        stands = STANDING_SHARE * timedelta(days=self.change_every_days)
        return PlateauRule(self.rule_last, self.rule_within_pct / 100, self.rule_near_tap_pct / 100, stands)


class SoakMember(Record):
    """A piece in a soak. Taken out, it has exactly one treatment."""

    soak = models.ForeignKey(Soak, on_delete=models.CASCADE, related_name="members")
    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="soak_members")
    in_at = models.DateTimeField(default=timezone.now)
    out_at = models.DateTimeField(null=True, blank=True)
    treatment = models.OneToOneField(
        Treatment, on_delete=models.SET_NULL, null=True, blank=True, related_name="soak_member"
    )
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["find"],
                condition=Q(out_at__isnull=True, binned_at__isnull=True),
                name="piece_in_one_soak_at_once",
            ),
            models.CheckConstraint(
                condition=Q(out_at__isnull=True) | Q(out_at__gte=F("in_at")),
                name="piece_leaves_soak_after_it_came",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.find.number} in {self.soak}"


class SoakReading(Record):
    """One measurement of the water, taken before it is changed."""

    soak = models.ForeignKey(Soak, on_delete=models.CASCADE, related_name="readings")
    at = models.DateTimeField(default=timezone.now)
    value = models.DecimalField(
        "reading",
        max_digits=8,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(100_000, "")],
    )
    changed_water = models.BooleanField("water changed", default=False)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)

    RESTS_ON = ("soak",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(value__isnull=False) | Q(changed_water=True), name="soak_reading_says_something"
            )
        ]

    def __str__(self) -> str:
        return f"{self.value}" if self.value is not None else "water changed"

    def get_absolute_url(self) -> str:
        return f"{reverse('workbench:soak', args=[self.soak_id])}#readings"
