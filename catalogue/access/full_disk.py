"""A full or read-only disk: a form that could not be written comes back with its words and says why."""

import errno
import logging
from collections.abc import Iterator
from dataclasses import dataclass

from django.db import OperationalError, connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.utils.deprecation import MiddlewareMixin

from catalogue.access.logged_address import logged_address
from catalogue.access.masked_trace import masked_message
from catalogue.common.forms.idempotency_key import objecting
from catalogue.common.text import with_unstorable_shown

INSUFFICIENT_STORAGE = 507


@dataclass(frozen=True, slots=True)
class Unwritable:
    """Why nothing can be written: by which errors it shows, and what is said of it."""

    errnos: tuple[int, ...]
    # What SQLite and PostgreSQL say of it; neither has a code that reaches Django's own error.
    signs: tuple[str, ...]
    form: str
    title: str
    page: str
    remedy: str


FULL = Unwritable(
    (errno.ENOSPC, errno.EDQUOT),
    ("database or disk is full", "no space left on device"),
    "The disk of the catalogue is full, so nothing of this page is saved. What you typed is still here: "
    "make room on the disk, then save again.",
    "The disk is full",
    "The disk that the catalogue lies on has no room left.",
    "Make room on that disk, by emptying its wastebasket or moving other files away",
)
READ_ONLY = Unwritable(
    (errno.EROFS,),
    ("attempt to write a readonly database",),
    "The disk of the catalogue can only be read just now, so nothing of this page is saved. What you typed "
    "is still here: let the disk be written again, then save again.",
    "The disk can only be read",
    "The disk that the catalogue lies on can only be read just now, as one that fails.",
    "Let it be written again; if it is failing, copy the catalogue's folder to another disk",
)
NOT_TYPED = ("once", "seen", "next", "act")
log = logging.getLogger("siltmark.errors")


def unwritable(error: BaseException | None) -> Unwritable | None:
    """Why an error, or one that it was raised from, could not write; None where it says nothing of that."""
    found = (why for each in _chain(error) for why in (FULL, READ_ONLY) if _says(each, why))
    return next(found, None)


def _says(error: BaseException, why: Unwritable) -> bool:
    if isinstance(error, OSError) and error.errno in why.errnos:
        return True
    return isinstance(error, OperationalError) and any(w in str(error).lower() for w in why.signs)


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


class FullDisk(MiddlewareMixin):
    """Middleware: answer a form that met a full or read-only disk with that form, its words in it.

    The view runs once more with an objection that its form says (as for a form sent twice), so that every
    page shows its own form. A view without such a form gets a page that lists what was sent.
    """

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Answer 507 where the disk can't be written; any other error is not ours."""
        why = unwritable(error)
        if why is None:
            return None
        warn_unwritable(request, why, error)
        if why is READ_ONLY and (answer := self._by_a_new_connection(request)):
            return answer
        return self._form_again(request, why) or full_disk_page(request, why)

    def _by_a_new_connection(self, request: HttpRequest) -> HttpResponse | None:
        """The view's own answer, where only this connection could not write; None where nothing can.

        SQLite opens a file that can't be written for reading alone, and a connection is kept for a minute:
        without this the catalogue would go on to refuse when the disk can long be written again.
        """
        if connection.in_atomic_block:
            return None
        connection.close()
        return self._once_more(request)

    def _form_again(self, request: HttpRequest, why: Unwritable) -> HttpResponse | None:
        if request.method != "POST":
            return None
        with objecting(why.form):
            answer = self._once_more(request)
        if answer is None or answer.status_code < 400:
            return None
        answer.status_code = INSUFFICIENT_STORAGE
        return _told_already(answer)

    def _once_more(self, request: HttpRequest) -> HttpResponse | None:
        match = request.resolver_match
        if match is None:
            return None
        for files in request.FILES.lists():
            for each in files[1]:
                each.seek(0)
        try:
            answer: HttpResponse = match.func(request, *match.args, **match.kwargs)
        except Exception:
            return None
        return answer


def warn_unwritable(request: HttpRequest, why: Unwritable, error: BaseException) -> None:
    """Log it: a warning, as nothing of the program is to be mended."""
    said = masked_message(error)
    log.warning("%s at %s %s: %s", why.title.lower(), request.method, logged_address(request), said)


def full_disk_page(request: HttpRequest, why: Unwritable) -> HttpResponse:
    """The page for such a disk, made without the database, with what was sent ready to be sent again."""
    if request.accepts("application/json") and not request.accepts("text/html"):
        return _told_already(JsonResponse({"error": why.form}, status=INSUFFICIENT_STORAGE))
    sent = [(name, value) for name, value in _sent(request) if name != "csrfmiddlewaretoken"]
    typed = typed_words(request)
    words = {
        "why": why,
        "address": request.get_full_path(),
        "sent": sent,
        "typed": typed,
        "csrf_token": get_token(request),
    }
    page = render_to_string("pages/errors/full_disk.html", words)
    return _told_already(HttpResponse(page, status=INSUFFICIENT_STORAGE))


def typed_words(request: HttpRequest) -> list[str]:
    """What a person typed or chose in a form that can't be kept, to be shown so that it is not lost.

    Nothing of a form that asks for a password: its other fields may be one too.
    """
    if "password" in {name for name, _ in _sent(request)}:
        return []
    unseen = {"csrfmiddlewaretoken", *NOT_TYPED}
    sent = [with_unstorable_shown(value) for name, value in _sent(request) if name not in unseen]
    return [value for value in sent if value.strip()]


def _told_already(answer: HttpResponse) -> HttpResponse:
    """Django logs what begins with 5 as an error of the program, unless it is marked as logged."""
    vars(answer)["_has_been_logged"] = True
    return answer


def _sent(request: HttpRequest) -> list[tuple[str, str]]:
    """Names and values of a form; none where it was the form itself that did not fit on the disk."""
    try:
        return [(name, value) for name, values in request.POST.lists() for value in values]
    except OSError:
        return []
