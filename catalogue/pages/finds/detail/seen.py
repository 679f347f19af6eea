"""Looks answered on a find's page: what was seen is recorded at once, and undone from there."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

import dating
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.pages.still_looking_for.fills import said_of, say_what_they_fill
from catalogue.specimens import services
from catalogue.specimens.models import Specimen
from catalogue.specimens.reading.value import SIDES

from .looks import BesideForm, SeenForm, aside_in, asking
from .views import owners_find, show


@require_POST
@kept_once
def seen(request: HttpRequest, number: str) -> HttpResponse:
    """Record one feature that was seen, and ask the next question."""
    find, aside = plain_find(number), aside_in(request.POST)
    form = SeenForm(request.POST)
    if not form.is_valid():
        return show(request, owners_find(number), status=422, looking=True, aside=aside, seen_form=form)
    feature, before = form.cleaned_data["feature"], said_of(find)
    with saying_why_not(request, services.SeenAlready, level=messages.WARNING):
        row = services.note_feature(find, feature, form.certainty)
        say_with_undo(
            request,
            f"Recorded: {_term(feature)}{', not sure' if form.cleaned_data['unsure'] else ''}.",
            reverse("finds:find_seen_undo", args=[number, row.pk]),
        )
        say_what_they_fill(request, [find.pk], before)
    return redirect(find.get_absolute_url() + asking(aside) + "#why")


@require_POST
@kept_once
def undo_seen(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Take back what was recorded by one tap."""
    find = plain_find(number)
    with saying_why_not(request, services.ChangedSince):
        feature = services.take_feature_back(find, pk)
        messages.success(request, f"Undone: {_term(feature)} is not recorded.")
    return redirect(_back(request, find))


@require_POST
@kept_once
def beside(request: HttpRequest, number: str) -> HttpResponse:
    """Record what stands beside a mark, or that nothing does, and ask the next question."""
    find, aside = plain_find(number), aside_in(request.POST)
    form = BesideForm(request.POST)
    if not form.is_valid():
        return show(request, owners_find(number), status=422, looking=True, aside=aside, beside_form=form)
    side, characters = form.cleaned_data["side"], form.cleaned_data["characters"]
    if form.nothing:
        # Asked of one side alone it says so; else nothing stands beside it anywhere.
        side, characters = ("" if "anywhere" in request.POST else side), ""
    before = said_of(find)
    try:
        row, sides = services.note_beside(find, form.cleaned_data["reading"], side, characters)
    except services.ReadingGone:
        messages.warning(request, "Nothing was written: that mark was changed meanwhile. Look at it again.")
    else:
        words = f"{characters or 'nothing'} {SIDES.get(side, 'beside the mark')}"
        undo = reverse("finds:find_beside_undo", args=[number, row.pk, "-".join(sides)])
        say_with_undo(request, f"Recorded: {words}.", undo)
        say_what_they_fill(request, [find.pk], before)
    return redirect(find.get_absolute_url() + asking(aside) + "#why")


@require_POST
@kept_once
def undo_beside(request: HttpRequest, number: str, pk: int, sides: str) -> HttpResponse:
    """Let nobody have looked there."""
    find = plain_find(number)
    with saying_why_not(request, services.ChangedSince):
        services.take_beside_back(find, pk, [side for side in sides.split("-") if side in SIDES])
        messages.success(request, "Undone: what stands beside the mark is not recorded.")
    return redirect(_back(request, find))


def _back(request: HttpRequest, find: Specimen) -> str:
    return next_address(request, find.get_absolute_url()).partition("#")[0] + "#why"


def _term(feature: str) -> str:
    known = dating.reference().features.get(feature)
    return known.term if known else feature
