"""Pictures: what their file says, those of a find, dive, site or place, those that wait for their form."""

import secrets
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from datetime import timezone as fixed_zone
from typing import ClassVar, Self, TypedDict

from django.apps import apps
from django.db import models
from django.db.models import Model, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import LiveManager, Record, RecordQuerySet
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen

# What can have pictures.
Subject = Specimen | Dive | Site | Place


class FileFacts(TypedDict):
    """The columns of `PictureFacts`, for handing them from one row to another."""

    sha256: str
    format: str
    bytes: int
    width: int
    height: int
    original_name: str
    taken_at: datetime | None
    taken_offset_min: int | None
    camera: str
    latitude: float | None
    longitude: float | None


class PictureFacts(models.Model):
    """The file's digest, kind and size, and what the camera wrote into it."""

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

    class Meta:
        abstract = True

    def facts(self) -> FileFacts:
        """The columns above, for handing them to another row."""
        return FileFacts(
            sha256=self.sha256,
            format=self.format,
            bytes=self.bytes,
            width=self.width,
            height=self.height,
            original_name=self.original_name,
            taken_at=self.taken_at,
            taken_offset_min=self.taken_offset_min,
            camera=self.camera,
            latitude=self.latitude,
            longitude=self.longitude,
        )

    def of_words(self) -> str:
        """What it is a picture of, for a list of pictures of all rooms."""
        return f"{self._meta.verbose_name}, {self}"

    @property
    def taken_on_the_spot(self) -> datetime | None:
        """The time as the camera's own clock showed it, without a zone.

        Without a known zone the clock's figures are kept as if they were UTC, so that they read the same
        wherever the catalogue is opened later.
        """
        if self.taken_at is None:
            return None
        zone = fixed_zone(timedelta(minutes=self.taken_offset_min or 0))
        return self.taken_at.astimezone(zone).replace(tzinfo=None)

    @property
    def position(self) -> tuple[float, float] | None:
        """Latitude and longitude in degrees, or None."""
        if self.latitude is None or self.longitude is None:
            return None
        return self.latitude, self.longitude


def kinds_of_pictures() -> list[type[PictureFacts]]:
    """Every kind of row that speaks of a picture's file; later rooms keep kinds of their own."""
    return [model for model in apps.get_models() if issubclass(model, PictureFacts)]


def rows_of(sha256: str) -> Iterator[PictureFacts]:
    """Every row, of whichever room and the bin included, that speaks of that file."""
    for kind in kinds_of_pictures():
        yield from kind._base_manager.filter(sha256=sha256)


class PhotoQuerySet(RecordQuerySet["Photo"]):
    def for_visitors(self) -> Self:
        """Pictures of finds that a visitor may see; of dives, sites and places none.

        Reference pictures and plates stay private unless opened one by one.
        """
        private = Q(role__in=Photo.PRIVATE, opened=False)
        return self.filter(find__in=Specimen.objects.for_visitors()).exclude(private)

    def of(self, subject: Model) -> Self:
        """Pictures of one find, dive, site or place."""
        return self.filter(**{Photo.subject_name(subject): subject})

    def in_order(self) -> Self:
        return self.order_by("order", "pk")

    def covers_of(self, find_ids: Iterable[int]) -> "dict[int, Photo]":
        """The picture that stands for each find, in one query for a whole page of finds.

        A chosen cover first, else the role that shows the piece best; reference pictures, plates and field
        tags never.
        """
        covers: dict[int, Photo] = {}
        for photo in sorted(
            self.filter(find__in=list(find_ids)).exclude(role__in=Photo.NEVER_COVER), key=Photo.cover_rank
        ):
            if photo.find_id is not None:
                covers.setdefault(photo.find_id, photo)
        return covers

    def cuts_of(self, find_ids: Iterable[int]) -> "dict[int, Photo]":
        """The picture whose cut stands for each find, in one query: the newest of the best role with one."""
        cuts: dict[int, Photo] = {}
        fit = self.filter(find__in=list(find_ids), role__in=Photo.WHOLE, cut_height__gt=0)
        for photo in sorted(fit, key=lambda photo: (Photo.WHOLE.index(Photo.Role(photo.role)), -photo.pk)):
            if photo.find_id is not None:
                cuts.setdefault(photo.find_id, photo)
        return cuts


LivePhotoManager = LiveManager.from_queryset(PhotoQuerySet)
WholePhotoManager = models.Manager.from_queryset(PhotoQuerySet)


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
        TAG = "tag", "field tag"

    SUBJECTS = ("find", "dive", "site", "place")
    # Somebody else's pictures, and pictures worked out from others: not for visitors, never a cover.
    PRIVATE = (Role.REFERENCE, Role.PLATE)
    # Never what stands for a find: a field tag says which piece it is, not what it looks like.
    NEVER_COVER = (*PRIVATE, Role.TAG)
    # What shows the whole piece, and so can be cut out of its ground to stand among others: first comes best.
    WHOLE = (Role.AFTER, Role.DURING, Role.BEFORE, Role.AS_FOUND)
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
    # Pixels of the bottle cut out of it; 0 where its outline was not sure, None where nobody looked yet.
    cut_width = models.PositiveSmallIntegerField(null=True, editable=False)
    cut_height = models.PositiveSmallIntegerField(null=True, editable=False)
    caption = models.CharField(max_length=500, blank=True)
    credit = models.CharField(max_length=NAME_LENGTH, blank=True)
    licence = models.CharField(max_length=NAME_LENGTH, blank=True)
    source = models.CharField(max_length=500, blank=True)
    opened = models.BooleanField("visitors may see it", default=False)
    history = HistoricalRecords(excluded_fields=["cut_width", "cut_height"])

    objects: ClassVar = LivePhotoManager()
    everything: ClassVar = WholePhotoManager()

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
    def subject(self) -> Subject:
        """What it is a picture of."""
        subject = self.find or self.dive or self.site or self.place
        assert subject is not None  # the table's own rule: exactly one
        return subject

    def of_words(self) -> str:
        return f"{self.subject}, {self.get_role_display()}"

    @property
    def is_private(self) -> bool:
        return self.role in self.PRIVATE

    @property
    def may_be_cover(self) -> bool:
        return self.role not in self.NEVER_COVER

    @property
    def is_cover(self) -> bool:
        return self.order == 0

    def cover_rank(self) -> tuple[bool, int, int, int]:
        """Which picture of a find shows the piece best: smallest is best."""
        return (not self.is_cover, self.COVER_ROLES.index(self.Role(self.role)), self.order, self.pk)


def new_token() -> str:
    """A name that can't be guessed."""
    return secrets.token_urlsafe(24)


class HeldPicture(PictureFacts):
    """Sent while a form is being filled in; becomes a `Photo` when the form is saved."""

    token = models.CharField(max_length=40, unique=True, default=new_token, editable=False)
    # Whoever sent it: nobody else may see or claim it.
    holder = models.CharField(max_length=40, editable=False)
    role = models.CharField(max_length=10, choices=Photo.Role, default=Photo.Role.DETAIL)
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(holder=""), name="held_picture_has_a_holder"),
            # A picture sent again after a dropped connection is the one already there.
            models.UniqueConstraint(fields=["holder", "sha256"], name="picture_held_once"),
        ]
        indexes = [
            # the sweep of what nobody claimed
            models.Index(fields=["created"], name="held_by_age"),
        ]

    def __str__(self) -> str:
        return self.original_name or "picture"

    def of_words(self) -> str:
        return "waiting for a form that was not saved yet"
