"""Errors a person can report: a plain page with a number, the same number in the log."""

import logging
import secrets
import sys
from collections.abc import Callable

from django.core.exceptions import BadRequest, PermissionDenied, SuspiciousOperation
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

log = logging.getLogger("siltmark.errors")


class NumberedErrors:
    """Give every unforeseen error a number, log it with its trace, show only the number."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> None:
        # "Not here", "not allowed" and "not readable" are answers, not errors: they have pages of their own.
        if not isinstance(error, Http404 | PermissionDenied | SuspiciousOperation | BadRequest):
            _note(request, error)


def server_error(request: HttpRequest) -> HttpResponse:
    """The page for an unforeseen error, made without the database: that may be what is wrong."""
    if not hasattr(request, "error_number"):
        # Raised outside a view, in a layer around it.
        _note(request, sys.exc_info()[1])
    page = render_to_string("errors/500.html", {"number": request.error_number})
    return HttpResponse(page, status=500)


def _note(request: HttpRequest, error: BaseException | None) -> None:
    request.error_number = secrets.token_hex(4)
    log.error("error %s at %s %s", request.error_number, request.method, request.path, exc_info=error)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for an address that leads nowhere."""
    return render(request, "errors/404.html", {"why": _sentence(exception)}, status=404)


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for something that this visitor may not see or do."""
    return render(request, "errors/403.html", {"why": _sentence(exception)}, status=403)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for a request that could not be read."""
    return render(request, "errors/400.html", status=400)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form sent from a page that had gone stale, or from elsewhere."""
    return render(request, "errors/stale.html", status=403)


def _sentence(exception: Exception) -> str:
    """The message a view raised with, unless it is Django's own (a dict of tried routes, a model's name)."""
    text = str(exception.args[0]) if exception.args else ""
    return text if text.endswith(".") and "matches the given query" not in text else ""
