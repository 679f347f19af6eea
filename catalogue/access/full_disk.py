"""Full disk: a form that could not be written comes back with its words and says so, not an error page."""

import errno
import logging
from collections.abc import Iterator

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.utils.deprecation import MiddlewareMixin

from catalogue.common.forms.idempotency_key import objecting

INSUFFICIENT_STORAGE = 507
NO_ROOM_ERRNOS = (errno.ENOSPC, errno.EDQUOT)
# What SQLite and PostgreSQL say of it; neither has a code that reaches Django's own error.
NO_ROOM_WORDS = ("database or disk is full", "no space left on device")
DISK_IS_FULL = (
    "The disk of the catalogue is full, so nothing of this page is saved. What you typed is still here: "
    "make room on the disk, then save again."
)
NOT_TYPED = ("once", "seen", "next", "act")
log = logging.getLogger("siltmark.errors")


def is_full_disk(error: BaseException | None) -> bool:
    """Whether an error, or one that it was raised from, says that the disk is full."""
    return any(_says_full(each) for each in _chain(error))


def _says_full(error: BaseException) -> bool:
    if isinstance(error, OSError) and error.errno in NO_ROOM_ERRNOS:
        return True
    return isinstance(error, OperationalError) and any(w in str(error).lower() for w in NO_ROOM_WORDS)


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


class FullDisk(MiddlewareMixin):
    """Middleware: answer a form that met a full disk with that form, its words in it.

    The view runs once more with an objection that its form says (as for a form sent twice), so that every
    page shows its own form. A view without such a form gets a page that lists what was sent.
    """

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Answer 507 where the disk is full; any other error is not ours."""
        if not is_full_disk(error):
            return None
        log.warning("the disk is full at %s %s: %s", request.method, request.path, error)
        return self._form_again(request) or full_disk_page(request)

    def _form_again(self, request: HttpRequest) -> HttpResponse | None:
        match = request.resolver_match
        if match is None or request.method != "POST":
            return None
        for files in request.FILES.lists():
            for each in files[1]:
                each.seek(0)
        try:
            with objecting(DISK_IS_FULL):
                answer: HttpResponse = match.func(request, *match.args, **match.kwargs)
        except Exception:
            return None
        if answer.status_code < 400:
            return None
        answer.status_code = INSUFFICIENT_STORAGE
        return answer


def full_disk_page(request: HttpRequest) -> HttpResponse:
    """The page for a full disk, made without the database, with what was sent ready to be sent again."""
    if request.accepts("application/json") and not request.accepts("text/html"):
        return JsonResponse({"error": DISK_IS_FULL}, status=INSUFFICIENT_STORAGE)
    sent = [(name, value) for name, value in _sent(request) if name != "csrfmiddlewaretoken"]
    typed = typed_words(request)
    words = {
        "address": request.get_full_path(),
        "sent": sent,
        "typed": typed,
        "csrf_token": get_token(request),
    }
    page = render_to_string("pages/errors/full_disk.html", words)
    return HttpResponse(page, status=INSUFFICIENT_STORAGE)


def typed_words(request: HttpRequest) -> list[str]:
    """What a person typed or chose in a form that can't be kept, to be shown so that it is not lost."""
    unseen = {"csrfmiddlewaretoken", *NOT_TYPED}
    return [value for name, value in _sent(request) if name not in unseen and value.strip()]


def _sent(request: HttpRequest) -> list[tuple[str, str]]:
    """Names and values of a form; none where it was the form itself that did not fit on the disk."""
    try:
        return [(name, value) for name, values in request.POST.lists() for value in values]
    except OSError:
        return []
