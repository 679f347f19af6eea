"""Dusted, looked at the light: by one touch, with Undo."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.typed_text import short_note
from catalogue.pages.parts.undo import say_with_undo
from catalogue.shelves.models import Place, Upkeep

SAID = {
    Upkeep.What.DUSTED: "{} is dusted, with all inside.",
    Upkeep.What.LIGHT: "The light in {} was looked at.",
}


@require_POST
@kept_once
def done(request: HttpRequest, pk: int) -> HttpResponse:
    """A place was dusted, or the light there looked at, just now."""
    place = get_object_or_404(Place, pk=pk)
    back = redirect(next_address(request, reverse("shelves:place", args=[pk]) + "#upkeep"))
    if request.POST.get("what") not in Upkeep.What.values:
        messages.error(request, "Nothing was recorded: say whether it was dusted or the light looked at.")
        return back
    what = Upkeep.What(request.POST["what"])
    row = Upkeep.objects.create(place=place, what=what, note=short_note(request))
    say_with_undo(request, SAID[what].format(place), reverse("shelves:upkeep_undo", args=[pk, row.pk]))
    return back


@require_POST
@kept_once
def undo_done(request: HttpRequest, pk: int, key: int) -> HttpResponse:
    """It was not done after all: the line is taken out again."""
    gone, _ = Upkeep.objects.filter(pk=key, place=pk).delete()
    messages.success(
        request, "Undone: that is not on record any more." if gone else "That was undone already."
    )
    return redirect(next_address(request, reverse("shelves:place", args=[pk]) + "#upkeep"))
