"""One's own tool kit, and what worked."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, above_zero, at_most
from catalogue.common.records import Record
from catalogue.specimens.models import Specimen

from .treatment import Treatment


def bore(label: str) -> models.DecimalField:
    return models.DecimalField(
        label,
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[above_zero, at_most(500, "mm")],
    )


class Tool(Record):
    """A tool; `softness` counts from 1, the softest."""

    class Where(models.TextChoices):
        INSIDE = "inside", "inside"
        OUTSIDE = "outside", "outside"

    name = models.CharField(max_length=NAME_LENGTH)
    softness = models.PositiveSmallIntegerField(
        "how hard, 1 softest to 5 hardest", default=2, validators=[MinValueValidator(1), MaxValueValidator(5)]
    )
    rough = models.BooleanField("it scratches", default=False)
    where = models.CharField(max_length=8, choices=Where, default=Where.INSIDE)
    bore_from_mm = bore("narrowest neck it goes through, mm")
    bore_to_mm = bore("widest neck it is of use in, mm")
    how = models.CharField("how it is used", max_length=NAME_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["softness", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(binned_at__isnull=True),
                name="tool_name_once",
                violation_error_message="There is already a tool of that name.",
            ),
            models.CheckConstraint(
                condition=Q(bore_from_mm__isnull=True)
                | Q(bore_to_mm__isnull=True)
                | Q(bore_to_mm__gte=F("bore_from_mm")),
                name="tool_bores_in_order",
                violation_error_message="The widest is less than the narrowest.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class ToolUse(Record):
    """One go at a piece with one tool."""

    class Worked(models.TextChoices):
        YES = "yes", "worked"
        SOME = "some", "helped"
        NO = "no", "no use"

    # What each is worth when tools are ranked.
    WORTH = {"yes": 1.0, "some": 0.5, "no": 0.0}

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="tool_uses")
    tool = models.ForeignKey(Tool, on_delete=models.PROTECT, related_name="uses")
    treatment = models.ForeignKey(Treatment, on_delete=models.CASCADE, related_name="tool_uses")
    worked = models.CharField(max_length=4, choices=Worked)
    at = models.DateTimeField(default=timezone.now)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.tool}: {self.get_worked_display()}"
