"""Input validation of addresses: one with a NUL character in its path leads nowhere, whatever the database.

PostgreSQL refuses to look for such a text at all, where SQLite finds nothing. Behind the question mark most
pages say by themselves that it can't be read; where one asks the database with it, that is a 404 as well.
"""

from django.core.exceptions import BadRequest
from django.db import DataError
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import get_resolver
from django.utils.deprecation import MiddlewareMixin

NUL = "\x00"
NOTHING_THERE = "There is nothing at this address."


class NulAddresses(MiddlewareMixin):
    """Middleware: 404 for a NUL in the address, 400 for one in a cookie."""

    def process_request(self, request: HttpRequest) -> None:
        """Look before anything is asked of the database."""
        if NUL in request.META.get("HTTP_COOKIE", ""):
            request.COOKIES.clear()
            raise BadRequest("a cookie with a NUL character")
        if NUL in request.path_info:
            raise Http404(NOTHING_THERE)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The page for an address that leads nowhere, where the database refused what the address says."""
        if not isinstance(error, DataError) or "%00" not in request.META.get("QUERY_STRING", ""):
            return None
        answer: HttpResponse = get_resolver().resolve_error_handler(404)(
            request, exception=Http404(NOTHING_THERE)
        )
        return answer
