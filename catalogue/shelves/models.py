"""Where pieces stand."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record, resting


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
