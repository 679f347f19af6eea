"""The history of a find at its own address, and an earlier state of it brought back."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from catalogue.pages.parts.history_pages import show_back_to, show_history
from catalogue.pages.parts.history_restoring import state_at
from catalogue.pages.parts.http_methods import GET_OR_POST

FIND_HISTORY = HISTORY_KINDS["find"]


@require_safe
def changes(request: HttpRequest, number: str) -> HttpResponse:
    """Who changed what, the latest first."""
    return show_history(request, FIND_HISTORY, plain_find(number))


@GET_OR_POST
@kept_once
def go_back(request: HttpRequest, number: str, stamp: int) -> HttpResponse:
    """What going back to that moment, in microseconds since 1970, would change; on confirmation, do it."""
    find = plain_find(number)
    then = state_at(FIND_HISTORY, find.pk, stamp)
    if then is None:
        raise Http404("Nothing is on record of that time.")
    return show_back_to(request, FIND_HISTORY, find, then)
