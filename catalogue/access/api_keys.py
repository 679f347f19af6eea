"""Keys that the owner's own programs read the catalogue with: made, looked up, ended."""

import secrets
from contextlib import suppress
from datetime import timedelta

from django.db import DatabaseError, transaction
from django.db.models import Q
from django.utils import timezone

from catalogue.access.models import ApiKey, WrongKey
from catalogue.access.services import MOST_WRONG_KEYS, digest
from catalogue.access.tries import count_a_try

# So that a key that was left lying about is known for one, also by programs that look for such.
BEGINS_WITH = "siltmark-"
# How exactly "last used" is told: each request would otherwise write.
USED_STEP = timedelta(minutes=1)


def make_api_key(name: str, sees: str) -> str:
    """A fresh key, to be shown once; what is stored can't be turned back into it."""
    key = BEGINS_WITH + secrets.token_urlsafe(32)
    ApiKey.objects.create(name=name, digest=digest(key), sees=sees)
    return key


def api_key_of(sent: str, address: str) -> ApiKey | None:
    """The row of a key that was sent, also of one that was ended; None for a wrong one.

    Wrong ones are counted by address. Raises TooManyTries; a right one is never held up by them.
    """
    known = ApiKey.objects.filter(digest=digest(sent)).first()
    if known is None:
        count_a_try(WrongKey, address, MOST_WRONG_KEYS, "keys")
    return known


def note_use(key: ApiKey) -> None:
    """Say that it was used now. A disk that is full keeps nobody from reading."""
    now = timezone.now()
    since = Q(used_at=None) | Q(used_at__lt=now - USED_STEP) | Q(used_at__gt=now + USED_STEP)
    with suppress(DatabaseError), transaction.atomic():
        ApiKey.objects.filter(since, pk=key.pk).update(used_at=now)


def keys_in_use() -> list[ApiKey]:
    """Those that open something, the latest first. One query."""
    return list(ApiKey.objects.filter(ended_at=None))


def end_key(pk: int) -> ApiKey | None:
    """End a key: it opens nothing from its next request on. None where there is none in use."""
    if not ApiKey.objects.filter(pk=pk, ended_at=None).update(ended_at=timezone.now()):
        return None
    return ApiKey.objects.get(pk=pk)
