"""Idempotency key: a form sent again after a dropped connection is kept once.

The page carries a random key in the field `once`; the session remembers the keys of forms that were kept.
"""

import secrets
from typing import Final

from django.http import HttpRequest

KEY_FIELD: Final = "once"
SESSION_KEY: Final = "kept_forms"
REMEMBERED: Final = 30


def new_key() -> str:
    """A key for a form that is shown for the first time."""
    return secrets.token_urlsafe(12)


def key_of(request: HttpRequest) -> str:
    """The key that was sent with a form; empty where there was none."""
    return request.POST.get(KEY_FIELD, "")


def kept_forms(request: HttpRequest) -> dict[str, str]:
    """Keys of this browser's forms that were kept -> the numbers their finds got."""
    kept: dict[str, str] = request.session.get(SESSION_KEY, {})
    return kept


def remember_kept(request: HttpRequest, number: str) -> None:
    """Note that the form with the key in this request was kept, as the find of that number."""
    key = key_of(request)
    if key:
        kept = {**kept_forms(request), key[:40]: number}
        request.session[SESSION_KEY] = dict(list(kept.items())[-REMEMBERED:])
