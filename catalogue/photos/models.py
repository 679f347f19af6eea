"""Pictures: the original as it came, and what is known of it."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record, RecordQuerySet, live_manager
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen


class PhotoQuerySet(RecordQuerySet):
    def for_visitors(self) -> "PhotoQuerySet":
        """Reference pictures and plates stay private unless opened one by one."""
        private = Q(role__in=(Photo.Role.REFERENCE, Photo.Role.PLATE), opened=False)
        return self.exclude(private)

    def in_order(self) -> "PhotoQuerySet":
        return self.order_by("order", "pk")


class Photo(Record):
    """One picture of one subject. The original never changes; sizes for showing are made from it."""

    class Role(models.TextChoices):
        AS_FOUND = "as-found", "as found"
        BEFORE = "before", "before"
        DURING = "during", "during"
        AFTER = "after", "after"
        BASE = "base", "base"
        DETAIL = "detail", "detail"
        PLATE = "plate", "plate"
        REFERENCE = "reference", "reference"

    SUBJECTS = ("find", "dive", "site", "place")

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    dive = models.ForeignKey(Dive, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    site = models.ForeignKey(Site, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    place = models.ForeignKey(Place, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    role = models.CharField(max_length=10, choices=Role, default=Role.DETAIL)
    order = models.PositiveIntegerField(default=0)
    # The name on disk is made from the digest; no name from a user reaches the disk.
    sha256 = models.CharField("SHA-256", max_length=64, editable=False)
    format = models.CharField(max_length=5, editable=False)
    bytes = models.PositiveBigIntegerField(editable=False)
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    original_name = models.CharField(max_length=NAME_LENGTH, blank=True, editable=False)
    taken_at = models.DateTimeField(null=True, blank=True)
    # Minutes from UTC where the camera said so; null = the camera's local time, zone unknown
    taken_offset_min = models.SmallIntegerField(null=True, blank=True)
    camera = models.CharField(max_length=NAME_LENGTH, blank=True)
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)
    sizes_made = models.BooleanField(default=False, editable=False)
    caption = models.CharField(max_length=500, blank=True)
    credit = models.CharField(max_length=NAME_LENGTH, blank=True)
    licence = models.CharField(max_length=NAME_LENGTH, blank=True)
    source = models.CharField(max_length=500, blank=True)
    opened = models.BooleanField("visitors may see it", default=False)
    history = HistoricalRecords()

    objects = live_manager(PhotoQuerySet)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["order", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(find__isnull=False, dive__isnull=True, site__isnull=True, place__isnull=True)
                | Q(find__isnull=True, dive__isnull=False, site__isnull=True, place__isnull=True)
                | Q(find__isnull=True, dive__isnull=True, site__isnull=False, place__isnull=True)
                | Q(find__isnull=True, dive__isnull=True, site__isnull=True, place__isnull=False),
                name="photo_has_one_subject",
            ),
            models.UniqueConstraint(
                fields=["find", "sha256"], condition=Q(binned_at__isnull=True), name="picture_once_on_a_find"
            ),
        ]
        indexes = [
            # covers of a page of finds, and a find's pictures in order
            models.Index(fields=["find", "order", "id"], name="photos_of_a_find"),
            # is any row left that needs this file?
            models.Index(fields=["sha256"], name="photo_by_digest"),
        ]

    def __str__(self) -> str:
        return self.caption or self.get_role_display()
