"""A way of looking at the finds that was given a name."""

from django.db import models

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record


class SavedView(Record):
    """What stands behind the "?" of the list's address, under a name."""

    name = models.CharField(max_length=NAME_LENGTH)
    query = models.CharField(max_length=2000, blank=True, editable=False)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                condition=models.Q(binned_at__isnull=True),
                name="saved_view_once",
                violation_error_message="There is already a view of that name.",
            )
        ]

    def __str__(self) -> str:
        return self.name
