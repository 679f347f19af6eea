"""Authorisation guard on the screen: a page that asks for the written reason which a hazard wants."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.care.services import HazardAsksByPiece, HazardAsksReason
from catalogue.pages.parts.sent_again import sent_again
from catalogue.pages.parts.typed_text import text_typed

Params = ParamSpec("Params")
REASON_FIELD, REASON_LABEL = "hazard-reason", "Why it is done all the same"


def reason_given(request: HttpRequest) -> str:
    """The reason typed on that page; empty where nobody was asked yet."""
    return text_typed(request, REASON_FIELD, REASON_LABEL)


def reasons_given(request: HttpRequest) -> dict[str, str]:
    """Those typed for several pieces, by number; a reason for one piece alone counts for each named."""
    alone = reason_given(request)
    found = dict.fromkeys(request.POST.getlist("find"), alone) if alone else {}
    for name in request.POST:
        if name.startswith(f"{REASON_FIELD}-"):
            found[name.removeprefix(f"{REASON_FIELD}-")] = text_typed(request, name, REASON_LABEL)
    return found


def asks_reason(
    view: Callable[Concatenate[HttpRequest, Params], HttpResponse],
) -> Callable[Concatenate[HttpRequest, Params], HttpResponse]:
    """A view whose act may want a reason, of one piece or of each of several.

    Nothing is done yet, and the page sends all that was sent again.

    Stands outside the idempotency key, so that what was begun is taken back first.
    """

    @wraps(view)
    def asked(request: HttpRequest, /, *args: Params.args, **kwargs: Params.kwargs) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except HazardAsksByPiece as asks:
            context = {"asks": asks, "sent": sent_again(request, REASON_FIELD, "find"), "name": REASON_FIELD}
            return render(request, "pages/parts/asks_each.html", context, status=422)
        except HazardAsksReason as asks:
            context = {
                "asks": asks,
                "sent": sent_again(request, REASON_FIELD),
                "typed": reason_given(request),
                "name": REASON_FIELD,
            }
            return render(request, "pages/parts/asks_reason.html", context, status=422)

    return asked
