"""Browsers that are let in: what they are called, and how each is signed out."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.auth import SESSION_KEY, login
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.http import HttpRequest
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from catalogue.access.middleware import NOTE, known_sessions
from catalogue.access.startup.network import is_own_machine

MACHINES = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "CrOS", "Linux")
# Several browsers name others as well: the first that fits is the one.
PROGRAMS = (
    ("Edg", "Edge"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("Chrome", "Chrome"),
    ("CriOS", "Chrome"),
    ("Safari", "Safari"),
)


@dataclass(frozen=True, slots=True)
class Browser:
    """A browser that may see everything. `name` stands for its session without giving it away."""

    name: str
    words: str
    how: str
    since: datetime | None
    is_this: bool


def let_in(request: HttpRequest, owner: User, how: str) -> None:
    """Sign the owner in on this browser, under a fresh session, and note what the browser is."""
    login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
    request.session[NOTE] = {
        "words": in_words(request.headers.get("User-Agent", "")),
        "how": how,
        "since": timezone.now().isoformat(),
        # Let in at this machine itself: see middleware.OwnersPages.
        "near": is_own_machine(request.META.get("REMOTE_ADDR", "")),
    }


def in_words(agent: str) -> str:
    """What kind of browser says `agent`: "Firefox on Linux", "a browser" where it does not say."""
    machine = next((each for each in MACHINES if each in agent), "")
    program = next((words for mark, words in PROGRAMS if mark in agent), "")
    machine = {"Macintosh": "Mac", "CrOS": "Chromebook", "Android": "an Android phone"}.get(machine, machine)
    return " on ".join(part for part in (program or "a browser", machine) if part)


def name_of(session_key: str) -> str:
    return hashlib.sha256(f"browser {session_key}".encode()).hexdigest()[:16]


def _signed_in(owner: User) -> list[tuple[str, dict[str, Any]]]:
    """Session keys and contents of the owner's browsers. One query; a person has a handful."""
    live = Session.objects.filter(expire_date__gt=timezone.now())
    opened = [(session.session_key, session.get_decoded()) for session in live]
    return [(key, held) for key, held in opened if held.get(SESSION_KEY) == str(owner.pk)]


def know_all(owner: User) -> None:
    """Have the server know every session that is signed in, at its start."""
    known_sessions.replace({key for key, _ in _signed_in(owner)})


def let_in_now(owner: User, this_key: str | None) -> list[Browser]:
    """The browsers that are let in, the latest first."""
    found = []
    for key, held in _signed_in(owner):
        note = held.get(NOTE, {})
        since = parse_datetime(note.get("since", ""))
        found.append(
            Browser(name_of(key), note.get("words", "a browser"), note.get("how", ""), since, key == this_key)
        )
    return sorted(found, key=lambda browser: str(browser.since), reverse=True)


def sign_out(owner: User, name: str) -> bool:
    """Sign that browser out; False where there is none of the name."""
    keys = [key for key, _ in _signed_in(owner) if name_of(key) == name]
    known_sessions.remove(set(keys))
    return bool(keys and Session.objects.filter(session_key__in=keys).delete()[0])
