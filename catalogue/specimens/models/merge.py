"""Merges: two rows of the trade that were one, which rows moved by it, and that it was undone."""

from django.db import models


class Merge(models.Model):
    """One row taken into another of its kind. The merged one lies in the bin; its address leads on."""

    class Kind(models.TextChoices):
        TOWN = "town", "town"

    kind = models.CharField(max_length=10, choices=Kind)
    gone = models.PositiveBigIntegerField()
    kept = models.PositiveBigIntegerField()
    # For each column that moved: model label, column, keys of its rows.
    moved = models.JSONField(default=list)
    # Rows of a name that both had, put in the bin for their twins: model label and key.
    doubled = models.JSONField(default=list)
    at = models.DateTimeField(auto_now_add=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "gone"], condition=models.Q(undone_at=None), name="merged_once_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.gone} into {self.kept}"
