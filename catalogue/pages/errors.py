"""Error pages: what a person can report or do, and nothing of the program's insides."""

import sys

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from catalogue.access.errors import number_error
from catalogue.access.full_disk import full_disk_page, typed_words, unwritable, warn_unwritable
from catalogue.pages.api.problems import is_asked_by_program, problem_answer


def server_error(request: HttpRequest) -> HttpResponse:
    """The page for an unforeseen error, made without the database: that may be what is wrong."""
    error = sys.exc_info()[1]
    if error is not None and (why := unwritable(error)):
        warn_unwritable(request, why, error)
        return full_disk_page(request, why)
    # Numbered by now, unless it was raised outside a view, in a layer around it.
    number = number_error(request, error)
    if is_asked_by_program(request):
        return problem_answer(500, f"Something went wrong. The error {number} is in the log.")
    page = render_to_string("pages/errors/500.html", {"number": number})
    return HttpResponse(page, status=500)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for an address that leads nowhere; what was typed into a form sent there stands on it."""
    if is_asked_by_program(request):
        return problem_answer(404, _sentence(exception) or "There is nothing at this address.")
    # An address that no view can have is refused before it is known who asks.
    asks = getattr(request, "user", None)
    owner = request.method == "POST" and asks is not None and asks.is_authenticated
    words = {"why": _sentence(exception), "typed": typed_words(request) if owner else []}
    return render(request, "pages/errors/404.html", words, status=404)


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for something that this visitor may not see or do."""
    return render(request, "pages/errors/403.html", {"why": _sentence(exception)}, status=403)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for a request that could not be read, or not taken as it is.

    What was typed stands on it: nothing of it was saved.
    """
    why = _sentence(exception)
    if is_asked_by_program(request):
        told = why or "This request can't be read: look at its address and its headers."
        return problem_answer(400, told)
    if why and request.accepts("application/json") and not request.accepts("text/html"):
        return JsonResponse({"error": why}, status=400)
    words = {"why": why, "typed": typed_words(request) if why and request.method == "POST" else []}
    return render(request, "pages/errors/400.html", words, status=400)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form sent from a page that had gone stale, or from elsewhere."""
    return render(request, "pages/errors/stale.html", status=403)


def _sentence(exception: Exception) -> str:
    """The message a view raised with, unless it is Django's own (a dict of tried routes, a model's name)."""
    text = str(exception.args[0]) if exception.args else ""
    return text if text.endswith(".") and "matches the given query" not in text else ""
