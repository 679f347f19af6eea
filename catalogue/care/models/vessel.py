"""What baths and soaks are held in."""

from typing import Any

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from catalogue.care.volume import Box, Round, Shape
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, at_most
from catalogue.common.records import Record


def inside(label: str, *, needed: bool = True) -> "models.DecimalField[Any, Any]":
    """A measure of the inside, mm."""
    return models.DecimalField(
        label,
        max_digits=6,
        decimal_places=1,
        null=not needed,
        blank=not needed,
        validators=[MinValueValidator(20, "This can't be less than 20 mm."), at_most(1500, "mm")],
    )


class Vessel(Record):
    """A tub, pail or box, measured inside. Only a rectangular one has lengths beside its widths."""

    class Outline(models.TextChoices):
        ROUND = "round", "round"
        BOX = "box", "rectangular"

    class Material(models.TextChoices):
        PLASTIC = "plastic", "polyethylene or polypropylene"
        OTHER_PLASTIC = "other-plastic", "another plastic"
        GLASS = "glass", "glass or glazed stoneware"
        METAL = "metal", "metal, or with metal parts"

    name = models.CharField(max_length=NAME_LENGTH)
    material = models.CharField("made of", max_length=14, choices=Material, default=Material.PLASTIC)
    outline = models.CharField("seen from above", max_length=5, choices=Outline, default=Outline.ROUND)
    top_length_mm = inside("inside length at the top, mm", needed=False)
    top_mm = inside("inside width at the top, mm")
    bottom_length_mm = inside("inside length at the bottom, mm", needed=False)
    bottom_mm = inside("inside width at the bottom, mm")
    height_mm = inside("inside height, mm")
    notes = models.CharField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(binned_at__isnull=True),
                name="vessel_name_once",
                violation_error_message="There is already a vessel of that name.",
            ),
            models.CheckConstraint(
                condition=Q(outline="round", top_length_mm__isnull=True, bottom_length_mm__isnull=True)
                | Q(outline="box", top_length_mm__isnull=False, bottom_length_mm__isnull=False),
                name="vessel_has_lengths_if_rectangular",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def shape(self) -> Shape:
        widths, height = (float(self.top_mm), float(self.bottom_mm)), float(self.height_mm)
        if self.outline != self.Outline.BOX:
            return Round(*widths, height)
        return Box(float(self.top_length_mm), widths[0], float(self.bottom_length_mm), widths[1], height)

    @property
    def volume_ml(self) -> float:
        return self.shape.volume_ml

    @property
    def litres(self) -> float:
        return self.volume_ml / 1000

    def why_no_acid(self) -> str:
        """Why no bath may be mixed in it; empty where one may. One query."""
        if not self.takes_acid:
            return "Acid eats metal and sets hydrogen free: choose a plastic or glass vessel."
        soak = self.soaks.filter(ended_at=None).first()
        return f"{self} holds the soak “{soak}”: end that one, or take another vessel." if soak else ""

    @property
    def takes_acid(self) -> bool:
        """Metal never."""
        return self.material != self.Material.METAL


class VesselMark(Record):
    """A ring or a printed mark on a vessel, and how much stands up to it."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="marks")
    ml = models.PositiveIntegerField(
        "up to it, ml", validators=[MinValueValidator(1), at_most(500_000, "ml")]
    )
    name = models.CharField(max_length=60, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["ml", "pk"]
        constraints = [models.UniqueConstraint(fields=["vessel", "ml"], name="mark_once_on_a_vessel")]

    def __str__(self) -> str:
        return self.name or f"the {self.ml} ml mark"
