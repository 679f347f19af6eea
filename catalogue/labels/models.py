"""Field tags: the numbers printed so far, so that none is ever printed twice."""

from django.db import models

from .tags import TAG_SHEETS


class TagSeries(models.Model):
    """The last number printed under some letters; it only grows, under a lock."""

    letters = models.CharField(max_length=3, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.letters}-{self.last}"


class TagRun(models.Model):
    """Sheets that were printed: tags `first` to `last`. Kept so that a spoiled print can be made again."""

    letters = models.CharField(max_length=3)
    first = models.PositiveIntegerField()
    last = models.PositiveIntegerField()
    page = models.CharField(max_length=6, choices=[(key, key) for key in TAG_SHEETS])
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-created", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["letters", "first"], name="tags_printed_once"),
            models.CheckConstraint(
                condition=models.Q(last__gte=models.F("first")), name="tag_run_is_not_empty"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.letters}-{self.first} to {self.letters}-{self.last}"

    @property
    def tags(self) -> list[str]:
        """Each tag as it is printed."""
        return [f"{self.letters}-{number}" for number in range(self.first, self.last + 1)]
