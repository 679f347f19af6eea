"""Middleware: no request gets to a page with text that no column can store (`is_storable`).

Path and cookies are refused before anything looks them up, what stands behind the question mark and in a form
after it is known who asks. So no view, form or service has to think of it. What is taken out of a file or out
of a text once more (an address in a field of a form) is tried where it is read.
"""

from collections.abc import Callable
from typing import Any, Final

from django.core.exceptions import BadRequest
from django.http import Http404, HttpRequest, QueryDict
from django.http.response import HttpResponseBase

from catalogue.common.text import is_storable

LEADS_NOWHERE: Final = "There is nothing at this address."
UNSTORABLE_COOKIE: Final = "A cookie holds a character that can't be stored. Delete this site's cookies."
UNSTORABLE_QUERY: Final = (
    "The address holds a character that can't be stored, such as %00. Take it out, and open it again."
)
UNSTORABLE_FORM: Final = (
    "A character that can't be stored (an invisible one, NUL) stands in what was sent. Nothing was saved: go "
    "back, write that anew, and send it again."
)


class StorablePath:
    """Middleware, before the session is looked up: the path and the cookies."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        # As Django reads them: in quotes a cookie may write a NUL as \000.
        if not all(is_storable(value) for value in request.COOKIES.values()):
            request.COOKIES.clear()
            raise BadRequest(UNSTORABLE_COOKIE)
        if not is_storable(request.path_info):
            raise Http404(LEADS_NOWHERE)
        return self.get_response(request)


class StorableFields:
    """Middleware, after who asks is let in: the question of the address, and the fields of a form.

    The check of a form's token has read the form already, so nothing more is read here. Views without that
    check (`csrf_exempt`) take no form, so that no stranger's is read for them. Names of files are
    cleared by Django where it reads them; what is in a file is free.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], _args: tuple[Any, ...], _kwargs: dict[str, Any]
    ) -> None:
        """Let it pass. Raises BadRequest, whose sentence the page for it says."""
        if not _all_storable(request.GET):
            raise BadRequest(UNSTORABLE_QUERY)
        takes_form = request.method == "POST" and not getattr(view, "csrf_exempt", False)
        if takes_form and not _all_storable(request.POST):
            raise BadRequest(UNSTORABLE_FORM)


def _all_storable(sent: QueryDict) -> bool:
    return all(is_storable(text) for key, values in sent.lists() for text in (key, *values))
