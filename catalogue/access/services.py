"""The owner, and keys that open once."""

import hashlib
import secrets
from datetime import timedelta

from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from catalogue.access.models import OneTimeKey, WrongKey
from catalogue.access.tries import clear_tries, count_a_try

OWNER = "owner"
# Our own figure: an old link in a browser's list is opened again by mistake, but not ten times.
MOST_WRONG_KEYS = 10
# Our own choices: the printed link lasts a day, as the start may be followed by a coffee; a code on the
# screen can be photographed by whoever passes, so it is short-lived.
LIFETIMES = {
    OneTimeKey.Opens.OWNER: timedelta(hours=24),
    OneTimeKey.Opens.PHONE: timedelta(minutes=10),
}


def the_owner() -> User:
    """The one person whose catalogue this is, made at the first start, without a password."""
    owner = get_user_model().objects.filter(username=OWNER).first()
    if owner is None:
        owner = get_user_model().objects.create_superuser(OWNER, password=None)
    return owner


def digest(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()


@transaction.atomic
def make_key(opens: OneTimeKey.Opens) -> str:
    """A fresh key, to be shown once; what is stored can't be turned back into it.

    Earlier ones of its kind that nobody used open nothing any more: a code that somebody photographed dies
    with the next one shown.
    """
    forget_keys(opens)
    key = secrets.token_urlsafe(24)
    OneTimeKey.objects.create(digest=digest(key), opens=opens, expires=timezone.now() + LIFETIMES[opens])
    return key


@transaction.atomic
def use_key(key: str) -> OneTimeKey | None:
    """The key's row, now used up; None where it is unknown, used or too old.

    The condition is part of the update, so that of two browsers at once only one gets in.
    """
    now = timezone.now()
    fitting = OneTimeKey.objects.filter(digest=digest(key), used_at=None, expires__gt=now)
    if not fitting.update(used_at=now):
        return None
    return OneTimeKey.objects.get(digest=digest(key))


def try_key(key: str, address: str) -> OneTimeKey | None:
    """`use_key` for somebody who is not let in yet: wrong ones are counted by address. Raises TooManyTries.

    No key can be guessed; but nobody has a reason to send many, and each costs the owner's machine a write.
    """
    counted = count_a_try(WrongKey, address, MOST_WRONG_KEYS, "keys")
    used = use_key(key)
    if used is not None:
        clear_tries(counted)
    return used


def forget_keys(opens: OneTimeKey.Opens) -> None:
    """From now on no key of that kind opens anything."""
    OneTimeKey.objects.filter(opens=opens, used_at=None).delete()


def sweep_keys() -> None:
    """Forget keys that can't open anything any more, and earlier links of the owner's that nobody used."""
    OneTimeKey.objects.exclude(used_at=None).delete()
    OneTimeKey.objects.filter(expires__lte=timezone.now()).delete()
    OneTimeKey.objects.filter(opens=OneTimeKey.Opens.OWNER).delete()
