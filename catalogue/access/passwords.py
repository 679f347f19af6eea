"""The owner's password, guarded against guessing."""

from datetime import datetime, timedelta

from django.contrib.auth import authenticate
from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from catalogue.access.models import WrongPassword
from catalogue.access.services import OWNER

# Our own figures: a person who mistypes gets five goes. Tries are counted for each address alone: were those
# of all counted together, a stranger could keep the owner out by mistyping on purpose.
SPAN = timedelta(minutes=15)
MOST_FROM_ONE_ADDRESS = 5


class TooManyTries(Exception):
    """Raised while no password is looked at. `minutes` until the next try counts, at least 1."""

    def __init__(self, minutes: int) -> None:
        super().__init__(f"Too many wrong passwords: wait {minutes} min.")
        self.minutes = minutes


def check_password(password: str, address: str) -> User | None:
    """The owner where the password is right; None where it is wrong. Raises TooManyTries.

    A try is counted before the password is looked at: many at the same moment can't slip past the limit.
    """
    entry = _count_a_try(address)
    owner = authenticate(username=OWNER, password=password)
    if owner is not None:
        WrongPassword.objects.filter(address=entry.address).delete()
    return owner


@transaction.atomic
def _count_a_try(address: str) -> WrongPassword:
    now = timezone.now()
    # Tries of the future were made while the clock was wrong; they would count until then.
    WrongPassword.objects.filter(Q(at__lte=now - SPAN) | Q(at__gt=now + SPAN)).delete()
    times = list(WrongPassword.objects.filter(address=address).order_by("at").values_list("at", flat=True))
    if len(times) >= MOST_FROM_ONE_ADDRESS:
        raise TooManyTries(_minutes_until(times[-MOST_FROM_ONE_ADDRESS], now))
    return WrongPassword.objects.create(address=address, at=now)


def _minutes_until(oldest: datetime, now: datetime) -> int:
    """Whole minutes until the try at `oldest` no longer counts."""
    return max(1, -(-(oldest + SPAN - now) // timedelta(minutes=1)))
