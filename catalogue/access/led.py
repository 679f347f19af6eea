"""Redirect as a header: a script that sends a form hears where it leads, without going there itself.

A browser hides the target of a redirect from the script that was redirected, or follows it: then what the
next page has to say once (its messages) is said to nobody.
"""

from django.http import HttpRequest, HttpResponseBase
from django.utils.deprecation import MiddlewareMixin

ASKED_BY = "X-Stay"
LEADS_TO = "X-Leads-To"


class RedirectAsHeader(MiddlewareMixin):
    """Middleware: answer a request that wants to stay with 204 and the address, in place of a redirect."""

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        """Leave every other answer as it is."""
        if (
            ASKED_BY in request.headers
            and 300 <= response.status_code < 400
            and response.has_header("Location")
        ):
            response.headers[LEADS_TO] = response.headers["Location"]
            del response.headers["Location"]
            response.status_code = 204
        return response
