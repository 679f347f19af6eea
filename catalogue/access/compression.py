"""Middleware: text goes over the wire compressed, whatever is compressed already goes as it is."""

from typing import Final

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

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
