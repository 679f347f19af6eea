"""Middleware of the door: addresses that can't be, bodies after HEAD, private pages, redirect as a header."""

from collections.abc import Callable

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import BadRequest, DisallowedHost
from django.db import DataError
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.urls import get_resolver, reverse

from catalogue.access import known_sessions
from catalogue.access.browsers import NOTE
from catalogue.access.startup.network import is_own_machine

LEADS_NOWHERE = "There is nothing at this address."
SIGNED_OUT = "This browser was signed out."
ASKED_BY, LEADS_TO = "X-Stay", "X-Leads-To"
Next = Callable[[HttpRequest], HttpResponseBase]


class HeadWithoutBody:
    """To HEAD the head of GET and no body (RFC 9110, 9.3.2); the server in use sends whatever it is given."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if request.method != "HEAD":
            return response
        if isinstance(response, HttpResponse):
            response.headers.setdefault("Content-Length", str(len(response.content)))
            response.content = b""
        if isinstance(response, StreamingHttpResponse):
            # The file stays among what is closed when the answer has been sent.
            response.streaming_content = iter(())
        return response


class PossibleAddresses:
    """Refuse early what no page of ours is at: NUL in a path, this host's name with a dot at its end.

    PostgreSQL refuses to look for a NUL at all, where SQLite finds nothing. Behind the question mark most
    pages say themselves that it can't be read; where one asks the database with it, that leads nowhere too.
    """

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if "\x00" in request.META.get("HTTP_COOKIE", ""):
            request.COOKIES.clear()
            raise BadRequest("a cookie with a NUL character")
        if "\x00" in request.path_info:
            raise Http404(LEADS_NOWHERE)
        # To a browser "localhost." and "localhost" are two sites, with cookies apart.
        if request.META.get("HTTP_HOST", "").split(":")[0].endswith("."):
            raise DisallowedHost("a host's name with a dot at its end is not served")
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The page for an address that leads nowhere, where the database refused what the address says."""
        if not isinstance(error, DataError) or "%00" not in request.META.get("QUERY_STRING", ""):
            return None
        page: Callable[..., HttpResponse] = get_resolver().resolve_error_handler(404)
        return page(request, exception=Http404(LEADS_NOWHERE))


class OwnersPages:
    """What only the owner sees is not kept by any cache, and a session of this machine stays on it."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        note = request.session.get(NOTE, {}) if request.session.session_key else {}
        near = note.get("near")
        if near and not is_own_machine(request.META.get("REMOTE_ADDR", "")):
            # A cookie of 127.0.0.1 never reaches another machine by itself: somebody carried it there.
            request.user = AnonymousUser()
        # What histories say who wrote (`common/history_hand.py`): the machine itself needs no name.
        vars(request)["hand"] = "" if near else note.get("words", "")
        # Before the view: the answer to signing out is the owner's still.
        owner = request.user.is_authenticated
        if owner:
            # The database says so, though this server's memory may not: a catalogue was put back under it.
            known_sessions.add(request.session.session_key)
        response = self.get_response(request)
        if (owner or request.user.is_authenticated) and "Cache-Control" not in response.headers:
            response.headers["Cache-Control"] = "private, no-store"
        return response


class SignInOutsideParts:
    """Answer 403 where a part of a page (htmx) is led to the sign-in page: it would show it within itself."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        leads_to = response.headers.get("Location", "").partition("?")[0]
        if "HX-Request" in request.headers and leads_to == reverse(settings.LOGIN_URL):
            said = HttpResponse(SIGNED_OUT, status=403, content_type="text/plain; charset=utf-8")
            said["Cache-Control"] = "private, no-store"
            return said
        return response


class RedirectAsHeader:
    """Tell a script where its form leads, as a header of a 204, in place of a redirect.

    A browser hides the target of a redirect from the script that was redirected, or follows it: then what the
    next page has to say once (its messages) is said to nobody.
    """

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if (
            ASKED_BY in request.headers
            and 300 <= response.status_code < 400
            and response.has_header("Location")
        ):
            response.headers[LEADS_TO] = response.headers["Location"]
            del response.headers["Location"]
            response.status_code = 204
        return response
