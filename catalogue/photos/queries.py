"""Queries of pictures: a gallery, neighbours; and how far each shelf taken in by a picture has come."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Count, Model, Q, QuerySet

from catalogue.specimens.models import Specimen

from .completeness import unfinished
from .models import Photo, ShelfSession


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


@dataclass(frozen=True, slots=True)
class ShelfProgress:
    """A session as the list shows it."""

    session: ShelfSession
    marked: int
    numbered: int
    to_fill: int

    @property
    def waiting(self) -> int:
        """Marked, and not numbered yet."""
        return self.marked - self.numbered

    @property
    def done(self) -> bool:
        return bool(self.marked) and not self.waiting and not self.to_fill


def shelf_progress(sessions: QuerySet[ShelfSession]) -> list[ShelfProgress]:
    """The sessions of a query, last worked on first. Two queries."""
    rows = list(
        sessions.select_related("photo", "place")
        .annotate(marked=Count("boxes"), numbered=Count("boxes__find"))
        .order_by("-changed", "-pk")
    )
    unfilled = dict(
        to_fill_in()
        .filter(shelf_box__session__in=rows)
        .order_by()
        .values_list("shelf_box__session")
        .annotate(n=Count("pk"))
    )
    return [ShelfProgress(row, row.marked, row.numbered, unfilled.get(row.pk, 0)) for row in rows]


def to_fill_in() -> QuerySet[Specimen]:
    """Finds that lack something and were not looked at on the walk; skipped ones still wait."""
    return unfinished().filter(Q(passed=None) | Q(passed__skipped=True))


def open_shelf_sessions() -> QuerySet[ShelfSession]:
    """Sessions whose picture is still there."""
    return ShelfSession.objects.filter(photo__binned_at=None)


def binned_shelf_sessions() -> QuerySet[ShelfSession]:
    """Sessions in the bin."""
    return ShelfSession.everything.in_bin()
