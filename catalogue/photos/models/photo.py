"""A picture of a find, a dive, a site or a place."""

from django.db import models
from django.db.models import Model, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record, RecordQuerySet, live_manager, whole_manager
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen

from .facts import PictureFacts


class PhotoQuerySet(RecordQuerySet):
    def for_visitors(self) -> "PhotoQuerySet":
        """Pictures of finds that a visitor may see; of dives, sites and places none.

        Reference pictures and plates stay private unless opened one by one.
        """
        private = Q(role__in=Photo.PRIVATE, opened=False)
        return self.filter(find__in=Specimen.objects.for_visitors()).exclude(private)

    def of(self, subject: Model) -> "PhotoQuerySet":
        """Pictures of one find, dive, site or place."""
        return self.filter(**{Photo.subject_name(subject): subject})

    def in_order(self) -> "PhotoQuerySet":
        return self.order_by("order", "pk")


class Photo(Record, PictureFacts):
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
    # Somebody else's pictures, and pictures worked out from others: not for visitors, never a cover.
    PRIVATE = (Role.REFERENCE, Role.PLATE)
    # Which one stands for a find when none was chosen: first comes best.
    COVER_ROLES = (Role.AFTER, Role.BEFORE, Role.AS_FOUND, Role.DURING, Role.BASE, Role.DETAIL)

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    dive = models.ForeignKey(Dive, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    site = models.ForeignKey(Site, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    place = models.ForeignKey(Place, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    role = models.CharField(max_length=10, choices=Role, default=Role.DETAIL)
    # 0 is the picture chosen as cover; the others count from 1.
    order = models.PositiveIntegerField(default=1)
    sizes_made = models.BooleanField(default=False, editable=False)
    caption = models.CharField(max_length=500, blank=True)
    credit = models.CharField(max_length=NAME_LENGTH, blank=True)
    licence = models.CharField(max_length=NAME_LENGTH, blank=True)
    source = models.CharField(max_length=500, blank=True)
    opened = models.BooleanField("visitors may see it", default=False)
    history = HistoricalRecords()

    objects = live_manager(PhotoQuerySet)
    everything = whole_manager(PhotoQuerySet)

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
            # the finds list: which finds have a picture at all, without reading the pictures' rows
            models.Index(fields=["find"], condition=Q(binned_at__isnull=True), name="finds_with_a_picture"),
            # is any row left that needs this file?
            models.Index(fields=["sha256"], name="photo_by_digest"),
        ]

    def __str__(self) -> str:
        return self.caption or self.get_role_display()

    @staticmethod
    def subject_name(subject: Model) -> str:
        """The column for a subject. Raises TypeError for anything that can't have pictures."""
        for name, kind in (("find", Specimen), ("dive", Dive), ("site", Site), ("place", Place)):
            if isinstance(subject, kind):
                return name
        raise TypeError(f"{type(subject).__name__} has no pictures")

    @property
    def subject(self) -> Model:
        """What it is a picture of."""
        return self.find or self.dive or self.site or self.place

    def of_words(self) -> str:
        return f"{self.subject}, {self.get_role_display()}"

    @property
    def is_private(self) -> bool:
        return self.role in self.PRIVATE

    @property
    def is_cover(self) -> bool:
        return self.order == 0
