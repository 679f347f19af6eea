"""Tries at the door are counted by address: passwords, and keys of links, phones and programs."""

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from catalogue.access.models import WrongTry

# Our own figure. Tries are counted for each address alone: were those of all counted together, a stranger
# could keep the owner out by mistyping on purpose.
SPAN = timedelta(minutes=15)


class TooManyTries(Exception):
    """Raised while nothing is looked at: `what` was tried; `minutes`, at least 1, until the next counts."""

    def __init__(self, minutes: int, what: str = "passwords") -> None:
        super().__init__(f"Too many wrong {what}: wait {minutes} min.")
        self.minutes = minutes


@transaction.atomic
def count_a_try(kind: type[WrongTry], address: str, most: int, what: str) -> WrongTry:
    """Note a try of that kind from an address. Raises TooManyTries where `most` stand within the span."""
    now = timezone.now()
    kept = kind._default_manager
    # Tries of the future were made while the clock was wrong; they would count until then.
    kept.exclude(_within(now)).delete()
    if minutes := minutes_to_wait(kind, address, most, now):
        raise TooManyTries(minutes, what)
    return kept.create(address=address, at=now)


def minutes_to_wait(kind: type[WrongTry], address: str, most: int, now: datetime | None = None) -> int:
    """How long until a try from an address would be taken; 0 where it would be now. One query, no write."""
    now = now or timezone.now()
    tried = kind._default_manager.filter(_within(now), address=address).order_by("at")
    times = list(tried.values_list("at", flat=True))
    return units_left(times[-most], SPAN, now, timedelta(minutes=1)) if len(times) >= most else 0


def _within(now: datetime) -> Q:
    """Tries that count still."""
    return Q(at__gt=now - SPAN, at__lte=now + SPAN)


def clear_tries(counted: WrongTry) -> None:
    """It was right after all: nothing counts against its address any more."""
    type(counted)._default_manager.filter(address=counted.address).delete()


def units_left(begun: datetime, span: timedelta, now: datetime, unit: timedelta) -> int:
    """Whole units, at least one, until a span that began then is over: what somebody has to wait."""
    return max(1, -(-(begun + span - now) // unit))
