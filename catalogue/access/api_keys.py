"""Keys that the owner's own programs read the catalogue with: made, looked up, counted, ended."""

import secrets
from contextlib import suppress
from datetime import datetime, timedelta

from django.db import DatabaseError, transaction
from django.db.models import Case, F, Q, Value, When
from django.utils import timezone

from catalogue.access.models import ApiKey, WrongKey
from catalogue.access.services import MOST_WRONG_KEYS, digest
from catalogue.access.tries import count_a_try, units_left

# So that a key that was left lying about is known for one, also by programs that look for such.
BEGINS_WITH = "siltmark-"
# How exactly "last used" is told: each request would otherwise write.
USED_STEP = timedelta(minutes=1)
# Our own figures: a program that reads ten thousand finds asks fifty times.
MOST_REQUESTS, RATE_SPAN = 300, timedelta(minutes=1)
ONE_SECOND = timedelta(seconds=1)


class TooManyRequests(Exception):
    """Raised while a key has asked as often as it may: `wait_s`, at least 1, until it may again."""

    def __init__(self, wait_s: int) -> None:
        super().__init__(f"That is more than {MOST_REQUESTS} requests in a minute: wait {wait_s} s.")
        self.wait_s = wait_s


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


def count_a_request(key: ApiKey) -> None:
    """Count a request in the row of its key, for all processes and threads together, also over a start.

    Raises TooManyRequests. One that is refused writes nothing, so that a program gone wild holds nobody up;
    a disk that is full keeps nobody from reading.
    """
    now = timezone.now()
    if key.counted >= MOST_REQUESTS and key.counted_since and _goes_on(key.counted_since, now):
        raise TooManyRequests(units_left(key.counted_since, RATE_SPAN, now, ONE_SECOND))
    # A span that began in the future began while the clock was wrong.
    over = (
        Q(counted_since=None) | Q(counted_since__lte=now - RATE_SPAN) | Q(counted_since__gt=now + RATE_SPAN)
    )
    try:
        with transaction.atomic():
            # Judged and counted by one statement: between two, others would be counted too.
            may = ApiKey.objects.filter(over | Q(counted__lt=MOST_REQUESTS), pk=key.pk)
            asked = may.update(
                counted=Case(When(over, then=Value(1)), default=F("counted") + 1),
                counted_since=Case(When(over, then=Value(now)), default=F("counted_since")),
            )
    except DatabaseError:
        return
    if not asked:
        since = ApiKey.objects.filter(pk=key.pk).values_list("counted_since", flat=True).first()
        raise TooManyRequests(units_left(since or now, RATE_SPAN, now, ONE_SECOND))


def _goes_on(since: datetime, now: datetime) -> bool:
    return now - RATE_SPAN < since <= now + RATE_SPAN


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
