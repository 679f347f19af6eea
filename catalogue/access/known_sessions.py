"""Sessions that are signed in, kept in memory: the server asks before it lets anybody send much.

The question is put while a request's head is read, where no database can be asked. What is here only raises
limits; whether somebody may see a page is decided by the session in the database.
"""

from threading import Lock
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.auth.signals import user_logged_in, user_logged_out
from django.http import HttpRequest, parse_cookie

_known: set[str] = set()
_changing = Lock()


def replace(keys: set[str]) -> None:
    """From now on exactly these sessions are signed in."""
    with _changing:
        _known.clear()
        _known.update(keys)


def add(key: str | None) -> None:
    """A browser was signed in, or showed a page as one that is."""
    if key and key not in _known:
        with _changing:
            _known.add(key)


def remove(keys: set[str]) -> None:
    """Browsers were signed out."""
    with _changing:
        _known.difference_update(keys)


def is_signed_in(cookie_header: str) -> bool:
    """Whether a request's `Cookie` line holds a session that is signed in."""
    return parse_cookie(cookie_header).get(settings.SESSION_COOKIE_NAME, "") in _known


def connect() -> None:
    """Follow sign-ins and sign-outs."""
    user_logged_in.connect(_signed_in, dispatch_uid="known_sessions")
    user_logged_out.connect(_signed_out, dispatch_uid="known_sessions")


def _signed_in(request: HttpRequest, user: User, **about: Any) -> None:
    add(request.session.session_key)


def _signed_out(request: HttpRequest, user: User | None, **about: Any) -> None:
    # The signal comes before the session is flushed.
    if request.session.session_key:
        remove({request.session.session_key})
