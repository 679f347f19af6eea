"""Identify next: the work queue of unfinished finds, one after another, going on where one was."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from catalogue.photos.models import ShelfSession
from catalogue.photos.queries import unfinished
from catalogue.specimens.models import MarkReading, Passed, Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.services import Parts, keep_find, move_to
from catalogue.specimens.services.towns import town_named

from .uploads import Picked

QUEUE_JOINED = ("town", "place", "dive__site", "site", "bottler", "product")
QUEUE_PREFETCHED = ("readings", "features", "inscriptions", "known_years", "opinions__maker")


@dataclass(frozen=True, slots=True)
class QueuePosition:
    """Where the queue stands: the find, and how many are behind and still ahead, itself counted ahead."""

    find: Specimen | None
    ahead: int
    passed: int


def queue_position(shelf: ShelfSession | None = None) -> QueuePosition:
    """The first unfinished find that was not passed yet; a shelf's in the order they stand. Three queries,
    and one for each kind of row that belongs to the find."""
    waiting = _queue(shelf)
    ahead = waiting.filter(passed=None)
    ordered = (
        ahead.order_by("number_year", "number_ordinal", "number_piece", "number_part")
        if shelf
        else ahead.in_order()
    )
    find = ordered.select_related(*QUEUE_JOINED).prefetch_related(*QUEUE_PREFETCHED).first()
    return QueuePosition(find, ahead.count(), _passed(shelf).count())


def mark_passed(find: Specimen, *, skipped: bool) -> None:
    """Note that the queue is past this find."""
    Passed.objects.update_or_create(find=find, defaults={"skipped": skipped, "at": timezone.now()})


@transaction.atomic
def undo_last_pass(shelf: ShelfSession | None = None) -> Specimen | None:
    """Take the latest find passed as not passed; it. None where none was."""
    latest = _passed(shelf).select_related("find").first()
    if latest is None:
        return None
    latest.delete()
    return latest.find


def restart(shelf: ShelfSession | None = None) -> int:
    """Forget what was passed, so that what is still unfinished comes up again. How many that were."""
    gone, _ = Passed.objects.filter(pk__in=_passed(shelf).values("pk")).delete()
    return gone


def _queue(shelf: ShelfSession | None) -> SpecimenQuerySet[Specimen]:
    return unfinished().filter(shelf_box__session=shelf) if shelf else unfinished()


def _passed(shelf: ShelfSession | None) -> QuerySet[Passed]:
    passed = Passed.objects.filter(find__binned_at=None)
    return passed.filter(find__shelf_box__session=shelf) if shelf else passed


@transaction.atomic
def keep_seen(
    find: Specimen, changes: Mapping[str, Any], reading: MarkReading | None, picked: Picked
) -> Specimen:
    """Save what was changed of a find, a mark read, and pictures; then the queue is past it.

    `changes`: column -> new value; the town by its name.
    """
    # Read afresh: what somebody else changed meanwhile stays.
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    fields = [name for name in changes if name != "place"]
    for name in fields:
        setattr(find, name, town_named(changes[name]) if name == "town" else changes[name])
    if "place" in changes:
        move_to(find, changes["place"])
    readings = [*find.readings.all(), reading] if reading else None
    if fields or readings:
        keep_find(find, Parts(readings=readings), fields=fields)
    picked.file_under(find)
    mark_passed(find, skipped=False)
    return find
