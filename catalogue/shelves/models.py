"""Where pieces stand."""

from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record, resting

MOST_MONTHS, MOST_CAPACITY = 120, 10_000


def every_months(label: str) -> "models.PositiveSmallIntegerField[Any, Any]":
    """An interval of one's own; empty: as the place that it is inside of, and none where that has none."""
    return models.PositiveSmallIntegerField(
        label,
        null=True,
        blank=True,
        validators=[
            MinValueValidator(1, "Write 1 or more months, or leave it empty."),
            MaxValueValidator(MOST_MONTHS, f"At most {MOST_MONTHS} months."),
        ],
    )


class Place(Record):
    """A room, a case, a shelf, a box, a tank: a tree of places."""

    class Kind(models.TextChoices):
        ROOM = "room", "room"
        CASE = "case", "case"
        SHELF = "shelf", "shelf"
        BOX = "box", "box"
        TANK = "tank", "tank or bucket"
        OTHER = "other", "other"

    name = models.CharField(max_length=NAME_LENGTH)
    parent = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="parts", verbose_name="inside"
    )
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.SHELF)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    capacity = models.PositiveIntegerField(
        "room for so many pieces",
        null=True,
        blank=True,
        validators=[
            MinValueValidator(1, "Write 1 or more, or leave it empty."),
            MaxValueValidator(MOST_CAPACITY, f"At most {MOST_CAPACITY:,} pieces."),
        ],
        help_text="What is inside counts too. More can be put there all the same.",
    )
    # Its place among those inside the same one; none: after them, by name.
    order = models.PositiveIntegerField(null=True, blank=True, editable=False)
    dust_months = every_months("dust it every so many months")
    light_months = every_months("look at the light every so many months")
    # "Hall case, third shelf": a derived column, so that a list of finds needs no walk up the tree.
    path = models.CharField(max_length=1000, editable=False, blank=True)
    history = HistoricalRecords()

    RESTS_ON = ("parent",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["path", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["parent", "name"],
                condition=models.Q(binned_at__isnull=True),
                name="place_once_in_its_parent",
                violation_error_message="There is already a place of that name there.",
            ),
            models.UniqueConstraint(
                fields=["name"],
                condition=models.Q(binned_at__isnull=True, parent__isnull=True),
                name="place_once_at_the_top",
                violation_error_message="There is already a place of that name.",
            ),
        ]

    def __str__(self) -> str:
        return self.path or self.name

    def get_absolute_url(self) -> str:
        return reverse("shelves:place", args=[self.pk])

    def why_needed(self) -> str:
        finds = resting(self.finds.count(), "find", "finds")
        places = resting(self.parts.count(), "place", "places")
        what = " and ".join(filter(None, [finds, places]))
        return what and f"{self} stays, as it has {what} in it. Move them elsewhere first."

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it with its path; a path that changed goes on to all that is inside, the bin included."""
        path = self.path_now()
        moved = path != self.path
        self.path = path
        fields = kwargs.get("update_fields")
        if fields is not None and moved:
            kwargs["update_fields"] = {*fields, "path"}
        super().save(*args, **kwargs)
        if moved:
            for part in Place.everything.filter(parent=self):
                part.parent = self
                part.save(update_fields=["path"])

    def path_now(self) -> str:
        """ "Hall case, third shelf", by the name it has and the place it is inside."""
        return f"{self.parent.path}, {self.name}" if self.parent else self.name

    def clean(self) -> None:
        above = self.parent
        while above is not None:
            if self.pk is not None and above.pk == self.pk:
                raise ValidationError({"parent": "A place can't be inside itself."})
            above = above.parent


class Upkeep(models.Model):
    """That a place was dusted, or the light there looked at, with all that is inside it."""

    class What(models.TextChoices):
        DUSTED = "dusted", "dusted"
        LIGHT = "light", "looked at the light"

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="upkeep")
    what = models.CharField(max_length=6, choices=What)
    at = models.DateTimeField(default=timezone.now)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        # when each place was last dusted
        indexes = [models.Index(fields=["place", "what", "at"], name="upkeep_last_done")]

    def __str__(self) -> str:
        return f"{self.get_what_display()}, {self.place}"
