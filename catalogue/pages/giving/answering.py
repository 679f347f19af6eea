"""What the owner does with a request: promises the piece in one touch, says no, erases what was written."""

from functools import partial

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.giving import answering
from catalogue.giving.models import PieceRequest
from catalogue.giving.services import NotGiven
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.sent_again import sent_again
from catalogue.pages.parts.undo import say_with_undo, saying_why_not

WHO = "who"


def _asked(number: str, key: int) -> PieceRequest:
    return get_object_or_404(PieceRequest.objects.select_related("find"), pk=key, find__number=number)


def _back(request: HttpRequest, asked: PieceRequest) -> HttpResponse:
    return redirect(next_address(request, f"{asked.find.get_absolute_url()}#requests"))


@require_POST
@asks_reason
@kept_once
def promise_to_asker(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """Promise the piece to whoever asked; where their name stands in the book, ask whether it is they."""
    asked = _asked(number, key)
    act = partial(answering.promise_to_asker, asked, who=request.POST.get(WHO, ""))
    try:
        with transaction.atomic():
            made = act(reason=reason_given(request))
    except answering.NamesakeInBook as both:
        context = {
            "asked": both.asked,
            "namesakes": both.namesakes,
            "sent": sent_again(request, WHO),
            "name": WHO,
        }
        return render(request, "pages/giving/asks_who.html", context, status=422)
    except NotGiven as why:
        messages.error(request, str(why))
    else:
        undo = reverse("giving:promise_undo", args=[number, made.pk])
        say_with_undo(request, f"{number} is promised to {made.person}.", undo)
    return _back(request, asked)


@require_POST
@kept_once
def decline(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """Say no; whoever asked reads it where they asked."""
    asked = _asked(number, key)
    with saying_why_not(request, NotGiven):
        answering.decline(asked)
        undo = reverse("giving:decline_undo", args=[number, key])
        say_with_undo(request, f"The request of {asked.name} for {number} is declined.", undo)
    return _back(request, asked)


@require_POST
@kept_once
def undo_decline(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """It waits again, at its place."""
    asked = _asked(number, key)
    with saying_why_not(request, NotGiven):
        answering.undo_decline(asked)
        messages.success(request, f"Undone: the request of {asked.name} waits again.")
    return _back(request, asked)


@require_POST
@kept_once
def erase(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """Erase a visitor's words for good, as they may ask."""
    asked = _asked(number, key)
    answering.erase_request(asked)
    messages.success(request, "Erased here. Backups made before today still hold what was written.")
    return _back(request, asked)
