"""Idempotency key: a form sent again, by a second tap or after a lost connection, is kept once.

The page carries a random key in the field `once`. A view that is `kept_once` runs in one transaction, and the
database holds the key unique in that same transaction: of two sendings at once the second waits, and is then
answered with the address that the first was. Nothing of a form that was not kept stays, ordinals included.
"""

import hashlib
import json
import secrets
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from contextvars import ContextVar
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import wraps
from threading import Lock
from typing import Concatenate, Final, ParamSpec, TypeVar

from django import template
from django.contrib import messages
from django.db import IntegrityError, connection, transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.common.models import KeptForm

KEY_FIELD: Final = "once"
LONGEST_KEY: Final = 40
# Longer than a season: a phone that lay in a drawer over the winter may still hold a form it never sent.
KEY_LIFETIME: Final = timedelta(days=400)
# Names this lock among all others of a PostgreSQL database; any number will do.
TURN: Final = 7_307_001
NOT_PART_OF_IT: Final = {"csrfmiddlewaretoken", KEY_FIELD}

NOTHING_TWICE: Final = "That was saved already; nothing was written twice."
KEPT_OTHERWISE: Final = (
    "This page was saved already with other words, and that stays. "
    "To save what stands here as well, press the button once more."
)
TAKEN_MEANWHILE: Final = (
    "Another page saved the same name or number at the same moment. "
    "Nothing of this page is saved yet: look at its names, then save it again."
)

register = template.Library()

Params = ParamSpec("Params")
Request = TypeVar("Request", bound=HttpRequest)


class FairTurn:
    """A turn that one thread has at a time, as a context manager; whoever asked first has it next.

    Python's own lock may be taken again by the thread that has just let it go, however many wait: beside
    a script that never stops asking, somebody else may wait for as long as it goes on.
    """

    def __init__(self) -> None:
        self._guard = Lock()
        self._is_had = False
        self._waiting: deque[Lock] = deque()

    def __enter__(self) -> None:
        with self._guard:
            if not self._is_had:
                self._is_had = True
                return
            mine = Lock()
            mine.acquire()
            self._waiting.append(mine)
        try:
            mine.acquire()
        except BaseException:
            # Interrupted while it waited: the turn must not be handed to nobody.
            with self._guard:
                was_handed = mine not in self._waiting
                if not was_handed:
                    self._waiting.remove(mine)
            if was_handed:
                self._hand_on()
            raise

    def __exit__(self, *_: object) -> None:
        self._hand_on()

    def _hand_on(self) -> None:
        with self._guard:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._is_had = False


_process_turn = FairTurn()


def new_key() -> str:
    """A key for a form that is shown for the first time."""
    return secrets.token_urlsafe(12)


@register.simple_tag(name="form_key")
def key_input() -> SafeString:
    """The hidden field that carries a new key; in a form without a form object `{% form_key %}`.

    Browsers must not bring an old one back into a new page.
    """
    return format_html('<input type="hidden" name="{}" value="{}" autocomplete="off">', KEY_FIELD, new_key())


def key_of(request: HttpRequest) -> str:
    """The key that was sent with a form; empty where there was none, or none that we gave."""
    key = request.POST.get(KEY_FIELD, "")
    return key if _is_key(key) else ""


def _is_key(word: str) -> bool:
    return 0 < len(word) <= LONGEST_KEY


def key_to_show(request: HttpRequest) -> str:
    """The key for a page shown again: the one it was sent with while nothing is kept under it.

    For pages whose drafts on the phone are told by their key; others get a new one each time.
    """
    return new_key() if getattr(request, "key_is_used", False) else key_of(request) or new_key()


@dataclass(slots=True)
class Objection:
    """A sentence that keeps the form of this request from being kept, until a form has said it.

    `in_bin`: its record lies in the bin, and the form offers to take it out as it is saved.
    """

    words: str
    in_bin: bool = False


_objection: ContextVar[Objection | None] = ContextVar("objection", default=None)


def take_objection() -> Objection | None:
    """What the first form that is checked in this request has to say; None where there is nothing."""
    waiting = _objection.get()
    if waiting is None or not waiting.words:
        return None
    said = replace(waiting)
    waiting.words = ""
    return said


def object_to(words: str, *, in_bin: bool = False) -> None:
    """Keep the form of this request from being kept; what was objected to before is said first.

    Only within a view that is kept once: what no form says there ends with it.
    """
    waiting = _objection.get()
    if waiting is None or not waiting.words:
        _objection.set(Objection(words, in_bin))


def kept_once(
    view: Callable[Concatenate[Request, Params], HttpResponse],
) -> Callable[Concatenate[Request, Params], HttpResponse]:
    """Decorator of a view that writes: what is posted to it is kept once, whole or not at all."""

    @wraps(view)
    def once(request: Request, /, *args: Params.args, **kwargs: Params.kwargs) -> HttpResponse:
        if request.method != "POST":
            return view(request, *args, **kwargs)
        return keep_once(request, lambda: view(request, *args, **kwargs))

    return once


def keep_once(request: HttpRequest, answer: Callable[[], HttpResponse]) -> HttpResponse:
    """Run the part of a view that writes, in a transaction with the key of the form that was sent.

    An answer of 400 and more takes back whatever was written. A unique name that another took at the same
    moment is met by running it again, so that the form finds the other and says it by its field.
    """
    for words in ("", "", TAKEN_MEANWHILE):
        try:
            return _keep(request, answer, words)
        except IntegrityError as error:
            taken = error
    raise taken


def _keep(request: HttpRequest, answer: Callable[[], HttpResponse], words: str) -> HttpResponse:
    key, digest = key_of(request), _digest_of(request)
    with _turn(), transaction.atomic():
        _ask_server_for_turn()
        before = KeptForm.objects.filter(key=key).first() if key else None
        if before and before.digest == digest:
            messages.info(request, NOTHING_TWICE)
            return redirect(before.address)
        vars(request)["key_is_used"] = before is not None
        with objecting(words or (KEPT_OTHERWISE if before else "")):
            response = answer()
        address = response.headers.get("Location") or response.headers.get("HX-Redirect", "")
        if response.status_code >= 400:
            transaction.set_rollback(True)
        elif key and address:
            KeptForm.objects.filter(at__lt=timezone.now() - KEY_LIFETIME).delete()
            # A page without words to lose takes other content under an old key as a sending of its own.
            KeptForm.objects.create(key=new_key() if before else key, digest=digest, address=address)
        return response


@contextmanager
def in_turn_of_forms() -> Iterator[None]:
    """Write beside the pages, in turn with forms: they wait for it, and none gives up on a busy database.

    Within a transaction the turn was had already: who waited for another's then would hold up all others.
    """
    with nullcontext() if connection.in_atomic_block else _turn():
        yield


def _turn() -> AbstractContextManager[object]:
    """Forms are kept one after the other.

    SQLite's transactions begin so by themselves, but whoever waits for one sleeps and looks again, and may be
    overtaken for as long as there are others: within one process the turn goes by the order of asking.
    """
    return _process_turn if connection.vendor == "sqlite" else nullcontext()


def _ask_server_for_turn() -> None:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [TURN])


@contextmanager
def objecting(words: str) -> Iterator[None]:
    """Let the first form that is checked within say these words and not be kept; none change nothing."""
    before = _objection.set(Objection(words) if words else _objection.get())
    try:
        yield
    finally:
        _objection.reset(before)


def _digest_of(request: HttpRequest) -> str:
    """What was sent, in short: words by their value, files by name and length."""
    words = sorted((name, values) for name, values in request.POST.lists() if name not in NOT_PART_OF_IT)
    files = sorted((name, [(f.name, f.size) for f in each]) for name, each in request.FILES.lists())
    said = json.dumps([request.get_full_path(), words, files])
    return hashlib.sha256(said.encode()).hexdigest()


def address_kept(key: str) -> str:
    """Where the form with that key led; empty where none was kept."""
    kept = KeptForm.objects.filter(key=key).first() if _is_key(key) else None
    return kept.address if kept else ""
