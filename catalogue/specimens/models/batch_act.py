"""Many finds chosen for one act, what was then done with them, and that it was undone."""

from django.db import models


class BatchAct(models.Model):
    """Finds that were chosen together. With `done_at` it was done, and `changed` says how to take it back."""

    # Keys of the finds, in the order in which they were chosen.
    finds = models.JSONField(default=list)
    # Where they were chosen, to lead back there.
    back = models.TextField(blank=True)
    kind = models.CharField(max_length=12, blank=True)
    words = models.TextField(blank=True)
    # "rows": key, value before, value after; beside it the keys of rows that were made, by their kind.
    changed = models.JSONField(default=dict)
    at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(null=True, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-pk"]
        # the last acts, and those chosen and never done, which are dropped after some days
        indexes = [models.Index(fields=["done_at"], name="batch_by_day")]

    def __str__(self) -> str:
        return self.words or f"{len(self.finds)} finds chosen"
