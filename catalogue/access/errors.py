"""Numbered errors: every unforeseen error gets a number, which is in the log with its trace."""

import logging
import secrets

from django.core.exceptions import BadRequest, PermissionDenied, SuspiciousOperation
from django.http import Http404, HttpRequest
from django.utils.deprecation import MiddlewareMixin

from catalogue.access.logged_address import logged_address

log = logging.getLogger("siltmark.errors")


class NumberedErrors(MiddlewareMixin):
    """Middleware: give every unforeseen error a number, log it with its trace, show only the number."""

    def process_exception(self, request: HttpRequest, error: Exception) -> None:
        """Number what a view raised."""
        # "Not here", "not allowed" and "not readable" are answers, not errors: they have pages of their own.
        if not isinstance(error, Http404 | PermissionDenied | SuspiciousOperation | BadRequest):
            number_error(request, error)


def number_error(request: HttpRequest, error: BaseException | None) -> str:
    """The number of a request's error; the first that asks gives it one and logs it."""
    number: str | None = getattr(request, "error_number", None)
    if number is None:
        number = secrets.token_hex(4)
        vars(request)["error_number"] = number
        log.error("error %s at %s %s", number, request.method, logged_address(request), exc_info=error)
    return number
