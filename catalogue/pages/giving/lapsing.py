"""More time for a promise that lapses, by one touch, and its undo."""

from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.localisation import day_words
from catalogue.giving import lapsing
from catalogue.giving.services import NotGiven
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_with_undo, saying_why_not


@require_POST
@asks_reason
@kept_once
def extend(request: HttpRequest, number: str, key: int) -> HttpResponse:
    """Two weeks more, from its last day or from today."""
    find = plain_find(number)
    with saying_why_not(request, NotGiven):
        made = lapsing.extend(find, key, reason=reason_given(request))
        assert made.until
        undo = reverse("giving:extend_undo", args=[number, key, made.until.toordinal()])
        say_with_undo(request, f"{number} stays promised until {day_words(made.until)}.", undo)
    return redirect(next_address(request, f"{find.get_absolute_url()}#now"))


@require_POST
@kept_once
def undo_extend(request: HttpRequest, number: str, key: int, ordinal: int) -> HttpResponse:
    """Its last day from before; `ordinal` is the day that the act gave it."""
    find = plain_find(number)
    try:
        until = date.fromordinal(ordinal)
    except (ValueError, OverflowError) as error:
        raise Http404("There is no such day.") from error
    with saying_why_not(request, NotGiven):
        made = lapsing.undo_extend(find, key, until)
        words = day_words(made.until) if made.until else "no day"
        messages.success(request, f"Undone: {number} is promised until {words} again.")
    return redirect(next_address(request, f"{find.get_absolute_url()}#now"))
