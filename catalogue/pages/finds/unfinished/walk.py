"""The walk through what is unfinished: one find after another, going on where one was."""

from dataclasses import dataclass

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from catalogue.photos.models import ShelfSession
from catalogue.specimens.models import Passed, Specimen

from .missing import unfinished

WITH = ("town", "place", "dive__site", "site", "bottler", "product")
PARTS = ("readings", "features", "inscriptions", "known_years", "opinions__maker")


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the walk is: the find, and how many are behind and still ahead, itself counted ahead."""

    find: Specimen | None
    ahead: int
    passed: int


def stop_of(shelf: ShelfSession | None = None) -> Stop:
    """The first unfinished find that was not passed yet; a shelf's in the order they stand. Three queries,
    and one for each kind of row that belongs to the find."""
    waiting = _unfinished(shelf)
    ahead = waiting.filter(passed=None)
    ordered = (
        ahead.order_by("number_year", "number_ordinal", "number_piece", "number_part")
        if shelf
        else ahead.in_order()
    )
    find = ordered.select_related(*WITH).prefetch_related(*PARTS).first()
    return Stop(find, ahead.count(), _walked(shelf).count())


def pass_by(find: Specimen, *, skipped: bool) -> None:
    """Note that the walk is past this find."""
    Passed.objects.update_or_create(find=find, defaults={"skipped": skipped, "at": timezone.now()})


@transaction.atomic
def step_back(shelf: ShelfSession | None = None) -> Specimen | None:
    """Take the latest find passed as not passed; it. None where none was."""
    latest = _walked(shelf).select_related("find").first()
    if latest is None:
        return None
    latest.delete()
    return latest.find


def begin_again(shelf: ShelfSession | None = None) -> int:
    """Forget what was passed, so that what is still unfinished comes up again. How many that were."""
    gone, _ = Passed.objects.filter(pk__in=_walked(shelf).values("pk")).delete()
    return gone


def _unfinished(shelf: ShelfSession | None) -> QuerySet[Specimen]:
    return unfinished().filter(shelf_box__session=shelf) if shelf else unfinished()


def _walked(shelf: ShelfSession | None) -> QuerySet[Passed]:
    passed = Passed.objects.filter(find__binned_at=None)
    return passed.filter(find__shelf_box__session=shelf) if shelf else passed
