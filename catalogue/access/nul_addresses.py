"""Input validation of addresses: one with a NUL character in it leads nowhere, whatever keeps the database.

PostgreSQL refuses to look for such a text at all, and SQLite finds nothing; both shall answer the same.
"""

from django.core.exceptions import BadRequest
from django.http import Http404, HttpRequest
from django.utils.deprecation import MiddlewareMixin

NUL = "\x00"


class NulAddresses(MiddlewareMixin):
    """Middleware: 404 for a NUL in the path or behind the question mark, 400 for one in a cookie."""

    def process_request(self, request: HttpRequest) -> None:
        """Look before anything is asked of the database."""
        if NUL in request.META.get("HTTP_COOKIE", ""):
            request.COOKIES.clear()
            raise BadRequest("a cookie with a NUL character")
        if NUL in request.path_info or "%00" in request.META.get("QUERY_STRING", ""):
            raise Http404("There is nothing at this address.")
