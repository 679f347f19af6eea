"""Middleware: what holds for every request and answer, whatever page they are of.

Text is compressed, HEAD has no body, this host's name has no dot at its end, private pages are not kept, a
part of a page is never the sign-in page, a wrong method has a page, a script is told where its form leads.
"""

from collections.abc import Callable
from threading import Lock
from typing import Any, Final

from django.conf import settings
from django.contrib.auth.models import AnonymousUser, User
from django.contrib.auth.signals import user_logged_in, user_logged_out
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse, parse_cookie
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.deprecation import MiddlewareMixin

from catalogue.access.startup.network import is_own_machine

# Under which name a session says which browser it is of (`access/browsers.py`).
NOTE = "let_in"
SIGNED_OUT = "This browser was signed out."
ASKED_BY, LEADS_TO = "X-Stay", "X-Leads-To"
Next = Callable[[HttpRequest], HttpResponseBase]
METHOD_NOT_ALLOWED: Final = 405
# Pictures, PDFs, archives and the face are compressed in their own way: trying costs time and gains nothing.
TEXT: Final = {
    "application/json",
    "application/manifest+json",
    "image/svg+xml",
    "text/css",
    "text/csv",
    "text/html",
    "text/javascript",
    "text/plain",
}
# No body, or a piece of one whose bytes are counted (`Range`).
NOT_WHOLE: Final = {204, 206, 304}


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


class HostsOwnName:
    """Refuse this host's name with a dot at its end: to a browser a site of its own, with cookies apart."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.META.get("HTTP_HOST", "").split(":")[0].endswith("."):
            raise DisallowedHost("a host's name with a dot at its end is not served")
        return self.get_response(request)


class SignedInSessions:
    """Sessions that are signed in, kept in memory: the server asks before it lets anybody send much.

    The question is put while a request's head is read, where no database can be asked. What is here only
    raises limits; whether somebody may see a page is decided by the session in the database.
    """

    def __init__(self) -> None:
        self._keys: set[str] = set()
        self._changing = Lock()

    def replace(self, keys: set[str]) -> None:
        """From now on exactly these sessions are signed in."""
        with self._changing:
            self._keys = set(keys)

    def add(self, key: str | None) -> None:
        """A browser was signed in, or showed a page as one that is."""
        if key and key not in self._keys:
            with self._changing:
                self._keys.add(key)

    def remove(self, keys: set[str]) -> None:
        """Browsers were signed out."""
        with self._changing:
            self._keys.difference_update(keys)

    def is_signed_in(self, cookie_header: str) -> bool:
        """Whether a request's `Cookie` line holds a session that is signed in."""
        return parse_cookie(cookie_header).get(settings.SESSION_COOKIE_NAME, "") in self._keys

    def connect(self) -> None:
        """Follow sign-ins and sign-outs."""
        user_logged_in.connect(self._signed_in, dispatch_uid="known_sessions")
        user_logged_out.connect(self._signed_out, dispatch_uid="known_sessions")

    def _signed_in(self, request: HttpRequest, user: User, **about: Any) -> None:
        self.add(request.session.session_key)

    def _signed_out(self, request: HttpRequest, user: User | None, **about: Any) -> None:
        # The signal comes before the session is flushed.
        if request.session.session_key:
            self.remove({request.session.session_key})


known_sessions: Final = SignedInSessions()


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
        # What histories say who wrote (`common/history_entries.py`): the machine itself needs no name.
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


class WrongMethodPage(MiddlewareMixin):
    """Middleware: an address that only takes a form says so on a page, where a person opened it."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """Put the page into an answer 405 that has nothing in it yet."""
        reads_pages = "text/html" in request.headers.get("Accept", "")
        if response.status_code == METHOD_NOT_ALLOWED and reads_pages and not response.content:
            response.content = render_to_string("pages/errors/405.html")
        return response


class PublicText(GZipMiddleware):
    """Static files tell no secret by their length."""

    max_random_bytes = 0


class CompressedText(GZipMiddleware):
    """Django's own compression of text answers, static files among them; the page of a phone comes sooner.

    That lengths of compressed pages tell their secrets (BREACH) is met thrice: Django adds up to 100 random
    bytes to each, masks the token of forms anew in each, and the session's cookie (SameSite) is not sent
    where another site asks for a page.
    """

    def process_request(self, request: HttpRequest) -> None:
        """Let a tag that compression made weak be compared as such (RFC 9110, 13.1.2)."""
        tags = request.META.get("HTTP_IF_NONE_MATCH", "")
        if tags.startswith('W/"'):
            request.META["HTTP_IF_NONE_MATCH"] = tags.removeprefix("W/")

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        """The answer, compressed where it is text for the screen and the browser takes it so."""
        kind = response.get("Content-Type", "").partition(";")[0].strip().lower()
        # What is kept as a file keeps its length, by which a browser shows how much is still to come.
        kept = response.get("Content-Disposition", "").startswith("attachment")
        if kind not in TEXT or kept or response.status_code in NOT_WHOLE:
            return response
        answer: HttpResponseBase
        if response.streaming:
            answer = PublicText(self.get_response).process_response(request, response)
        else:
            answer = super().process_response(request, response)
        return answer
