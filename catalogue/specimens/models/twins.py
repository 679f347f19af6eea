"""Equivalence group: finds that match, and stand side by side."""

from django.db import models

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record


class TwinGroup(Record):
    """Pieces that match and stand side by side."""

    name = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False

    def __str__(self) -> str:
        return self.name or f"group {self.pk}"
