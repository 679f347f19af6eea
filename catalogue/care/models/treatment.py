"""What was done to a find: treatments, the steps of a piece that keeps its growth, tools and what worked."""

from typing import TYPE_CHECKING, Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.care.care_tables import METHOD_KEY_LENGTH, treatment_kinds
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, above_zero, at_most
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import Look

# Django's fields have type arguments for the checker alone.
if TYPE_CHECKING:
    _Text = models.CharField[str, str]
else:
    _Text = models.CharField


class MethodField(_Text):
    """A kind of treatment: its choices are the rows of treatments.csv, which the migrations know nothing of.

    So a new row is offered, named and checked without a step of the database's history.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["max_length"] = METHOD_KEY_LENGTH
        kwargs.setdefault("choices", [(kind.key, kind.name) for kind in treatment_kinds().values()])
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> tuple[str, str, Any, Any]:
        name, _, args, kwargs = super().deconstruct()
        kwargs.pop("choices", None)
        return name, "django.db.models.CharField", args, kwargs


class Treatment(Record):
    """One treatment. What was in fact done can always be logged, also what should not be done again."""

    class Result(models.TextChoices):
        CLEAN = "clean", "clean"
        BETTER = "better", "better, not finished"
        SAME = "same", "no change"
        HARMED = "harmed", "harmed"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="treatments")
    method = MethodField()
    look = models.CharField("look aimed at", max_length=12, choices=Look, blank=True)
    agents = models.CharField("with what", max_length=NAME_LENGTH, blank=True)
    strength = models.CharField(max_length=100, blank=True)
    tools = models.CharField("tools, softest first", max_length=NAME_LENGTH, blank=True)
    passes = models.PositiveSmallIntegerField(null=True, blank=True)
    begun = models.DateTimeField()
    ended = models.DateTimeField(null=True, blank=True)
    result = models.CharField(max_length=8, choices=Result, blank=True)
    by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    override_reason = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    RESTS_ON = ("find",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-begun", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended__isnull=True) | Q(ended__gte=F("begun")),
                name="treatment_ends_after_it_begins",
                violation_error_message="It can't end before it began.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_method_display()}, {self.begun:%Y-%m-%d}"

    def get_absolute_url(self) -> str:
        return f"{self.find.get_absolute_url()}#history"


class WorkStep(Record):
    """One step begun on a piece; done, it has its treatment. `step` is a key of the list of steps."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="work_steps")
    step = models.CharField(max_length=20)
    begun_at = models.DateTimeField()
    done_at = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)
    photos = models.ManyToManyField(Photo, blank=True, related_name="+")
    treatment = models.OneToOneField(
        Treatment, on_delete=models.SET_NULL, null=True, blank=True, related_name="work_step"
    )
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["begun_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["find", "step"], condition=Q(binned_at__isnull=True), name="step_once_on_a_piece"
            ),
            models.CheckConstraint(
                condition=Q(done_at__isnull=True) | Q(done_at__gte=F("begun_at")),
                name="step_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return self.step


def bore(label: str) -> "models.DecimalField[Any, Any]":
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

    def get_absolute_url(self) -> str:
        return reverse("workbench:tool", args=[self.pk])


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
