"""A promise that lapsed: nothing happens by itself; it is freed (`services.withdraw`) or given more time."""

from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.specimens.models import Specimen

from .models import Promise
from .services import NotGiven, locked_find, open_promise, permitted

# Our own figure: time for one more weekend after the next.
MORE_DAYS = 14


def later_day(promise: Promise) -> date:
    """Until when it is held if it gets more time: from its own day, or from today where that is past."""
    return max(promise.until or timezone.localdate(), timezone.localdate()) + timedelta(days=MORE_DAYS)


@transaction.atomic
def extend(find: Specimen, key: int, *, reason: str = "") -> Promise:
    """Give the open promise more time.

    Raises NotGiven where it is another one by now or has no last day, HazardAsksReason.
    """
    find = locked_find(find)
    promise = open_promise(find)
    if promise is None or promise.pk != key:
        raise NotGiven(f"That promise of {find.number} is no longer open.")
    if promise.until is None:
        raise NotGiven("That promise has no last day, so it needs no more time.")
    # More time is a promise anew: something may have been seen on the piece since.
    permitted(find, Act.PROMISE, reason)
    promise.until = later_day(promise)
    promise.save(update_fields=["until"])
    return promise


@transaction.atomic
def undo_extend(find: Specimen, key: int, until: date) -> Promise:
    """The last day is again the one before `until`. Raises NotGiven where it was changed since."""
    promise = open_promise(locked_find(find))
    earlier = promise and promise.history.exclude(until=until).order_by("-history_id").first()
    if promise is None or promise.pk != key or promise.until != until or not earlier:
        raise NotGiven(f"Nothing was undone: that promise of {find.number} was changed since.")
    promise.until = earlier.until
    promise.save(update_fields=["until"])
    return promise
