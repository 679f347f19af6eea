"""What the last look at an original on disk found."""

from django.db import models


class OriginalCheck(models.Model):
    """The last look at one original: whether its file is there, and the bytes that were taken in."""

    class State(models.TextChoices):
        WHOLE = "whole", "whole"
        MISSING = "missing", "its file is gone"
        DAMAGED = "damaged", "its file is not what was taken in"

    sha256 = models.CharField("SHA-256", max_length=64, unique=True, editable=False)
    format = models.CharField(max_length=5, editable=False)
    state = models.CharField(max_length=7, choices=State)
    # When every byte was last read; empty where only its presence and size were looked at.
    read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [
            # the home page asks each time whether anything is amiss
            models.Index(fields=["state"], condition=~models.Q(state="whole"), name="originals_amiss"),
        ]

    def __str__(self) -> str:
        return f"{self.sha256[:12]}: {self.get_state_display()}"
