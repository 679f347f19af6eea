"""Queries of pictures: a gallery, neighbours."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Model

from catalogue.specimens.models import Specimen

from .models import Photo


@dataclass(frozen=True, slots=True)
class Pair:
    """The two pictures between which the work lies."""

    before: Photo
    after: Photo


@dataclass(slots=True)
class Gallery:
    """All pictures of one subject as a page shows them; `address` is how the page for adding names it."""

    subject: Model
    photos: list[Photo]
    cover: Photo | None = None
    pair: Pair | None = None
    in_bin: list[Photo] = field(default_factory=list)
    address: str = ""

    @property
    def of_a_find(self) -> bool:
        """A piece without pictures asks for some; a dive or a site can do without."""
        return isinstance(self.subject, Specimen)


def gallery_of(subject: Model, *, visitor: bool = False) -> Gallery:
    """A subject's pictures in order: one query for a visitor, one more (the bin) for the owner."""
    if visitor:
        photos, binned = list(Photo.objects.of(subject).for_visitors().in_order()), []
    else:
        rows = list(Photo.everything.of(subject).in_order())
        photos = [photo for photo in rows if photo.binned_at is None]
        binned = [photo for photo in rows if photo.binned_at is not None]
    name = Photo.subject_name(subject)
    for photo in [*photos, *binned]:
        # Known already: saves a query for each picture's words.
        setattr(photo, name, subject)
    showable = [photo for photo in photos if not photo.is_private]
    return Gallery(
        subject=subject,
        photos=photos,
        cover=min(showable, key=Photo.cover_rank, default=None),
        pair=before_and_after(photos),
        in_bin=binned,
        address=f"{name}={subject.pk}",
    )


def before_and_after(photos: Iterable[Photo]) -> Pair | None:
    """As found (or before the work) against after it; None where either is missing."""
    by_role: dict[str, Photo] = {}
    for photo in photos:
        by_role.setdefault(photo.role, photo)
    before = by_role.get(Photo.Role.AS_FOUND) or by_role.get(Photo.Role.BEFORE)
    after = by_role.get(Photo.Role.AFTER)
    return Pair(before, after) if before and after else None


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Where a picture stands among its subject's: `place` of `count`, counted from 1."""

    earlier: Photo | None
    later: Photo | None
    place: int
    count: int


def neighbours(photo: Photo, *, visitor: bool = False) -> Neighbours:
    """The pictures before and after it that the one who asks may see. One query."""
    photos = Photo.objects.of(photo.subject).in_order().only("pk")
    row = list(photos.for_visitors() if visitor else photos)
    here = row.index(photo)
    return Neighbours(
        earlier=row[here - 1] if here else None,
        later=row[here + 1] if here + 1 < len(row) else None,
        place=here + 1,
        count=len(row),
    )
