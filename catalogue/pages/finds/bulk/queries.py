"""The shelves taken in by a picture, with how far each has come."""

from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from catalogue.pages.finds.unfinished.missing import unfinished
from catalogue.photos.models import ShelfSession
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class Shelf:
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


def shelves(sessions: QuerySet[ShelfSession]) -> list[Shelf]:
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
    return [Shelf(row, row.marked, row.numbered, unfilled.get(row.pk, 0)) for row in rows]


def to_fill_in() -> QuerySet[Specimen]:
    """Finds that lack something and were not looked at on the walk; skipped ones still wait."""
    return unfinished().filter(Q(passed=None) | Q(passed__skipped=True))


def begun() -> QuerySet[ShelfSession]:
    """Sessions whose picture is still there."""
    return ShelfSession.objects.filter(photo__binned_at=None)


def put_away() -> QuerySet[ShelfSession]:
    """Sessions in the bin."""
    return ShelfSession.everything.filter(Q(binned_at__isnull=False))
