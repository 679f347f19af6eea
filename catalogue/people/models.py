"""The small private address book."""

from typing import ClassVar

from django.db import models
from django.urls import reverse

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

    TAKES: ClassVar = {("reach",): ()}
    ADDS = ("notes",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("people:person", args=[self.pk])

    def why_not_merged(self, gone: "Person") -> str:
        erased = self.erased_at or gone.erased_at
        return "Somebody who was erased can't be merged with anybody." if erased else ""

    def why_not_parted(self) -> str:
        return "It was erased since, so nothing tells any more who was who." if self.erased_at else ""
