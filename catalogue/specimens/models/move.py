"""From one place to another."""

from django.db import models
from django.utils import timezone

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record
from catalogue.shelves.models import Place

from .specimen import Specimen


class Move(Record):
    """A find moved: from where, to where, when and why."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="moves")
    from_place = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    to_place = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    why = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.find_id} to {self.to_place or 'no place'}"
