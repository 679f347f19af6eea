"""Which finds a walk through the unfinished ones has passed."""

from django.db import models
from django.utils import timezone

from .specimen import Specimen


class Passed(models.Model):
    """A find that was looked at or skipped on the present walk; it is kept here and not in the browser, so
    that a walk begun on the phone goes on at the desk."""

    find = models.OneToOneField(Specimen, on_delete=models.CASCADE, related_name="passed")
    at = models.DateTimeField(default=timezone.now)
    skipped = models.BooleanField(default=False)

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "finds passed"

    def __str__(self) -> str:
        return f"{self.find_id} {'skipped' if self.skipped else 'seen'}"
