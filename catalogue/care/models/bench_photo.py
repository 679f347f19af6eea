"""Pictures of what stands on the bench: a bath, a vessel, a tool."""

from django.db import models
from django.db.models import Q

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record
from catalogue.photos.models import PictureFacts

from .bath import Bath
from .tool import Tool
from .vessel import Vessel


class BenchPhoto(Record, PictureFacts):
    """One picture of one of them; the owner's alone."""

    bath = models.ForeignKey(Bath, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    tool = models.ForeignKey(Tool, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    caption = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(bath__isnull=False, tool__isnull=True, vessel__isnull=True)
                | Q(bath__isnull=True, tool__isnull=False, vessel__isnull=True)
                | Q(bath__isnull=True, tool__isnull=True, vessel__isnull=False),
                name="bench_photo_has_one_subject",
            )
        ]
        indexes = [
            # is any row left that needs this file?
            models.Index(fields=["sha256"], name="bench_photo_by_digest"),
        ]

    def __str__(self) -> str:
        return self.caption or "picture"

    def of_words(self) -> str:
        """What it is a picture of: "White tub, on the bench"."""
        return f"{self.bath or self.tool or self.vessel}, on the bench"
