"""The small private address book."""

from django.db import models

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record


class Person(Record):
    """A buddy, a giver of permission, a receiver. No history is kept of people.

    Erasing one blanks the row; other records hold only its key, so they keep their shape.
    """

    name = models.CharField(max_length=NAME_LENGTH)
    reach = models.CharField(
        "how to reach", max_length=500, blank=True, help_text="Telephone, mail or where they live."
    )
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    erased_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name
