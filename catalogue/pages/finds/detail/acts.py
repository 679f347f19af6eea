"""What is done to a find from its page: small forms that come back to it, also with their errors."""

from collections.abc import Callable
from functools import partial

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.records import StillNeeded
from catalogue.giving import services as giving
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.pages.parts.visible import TellsSite, ask_first, unless_it_tells
from catalogue.pages.still_looking_for.fills import said_of, say_what_they_fill
from catalogue.people.services import person_named
from catalogue.specimens import services
from catalogue.specimens.models import Opinion, Specimen

from .forms import MatchForm, MoveForm, OpinionForm, PartForm
from .views import owners_find, show


@require_POST
@kept_once
def move(request: HttpRequest, number: str) -> HttpResponse:
    """To another place, or out of its place."""
    find = plain_find(number)
    form = MoveForm(request.POST, initial={"place": find.place_id})
    if not form.is_valid():
        return show(request, owners_find(number), status=422, move_form=form)
    place = form.cleaned_data["place"]
    stood = find.place_id
    find = services.move_to(find, place, form.cleaned_data["why"])
    words = f"{find.number} is now in {place}." if place else f"{find.number} has no place now."
    last = find.moves.order_by("-pk").first()
    if last is None or find.place_id == stood:
        messages.success(request, words)
    else:
        say_with_undo(request, words, reverse("finds:find_move_undo", args=[number, last.pk]))
    return redirect(find.get_absolute_url() + "#place")


@require_POST
@kept_once
def undo_move(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Back where it stood."""
    find = plain_find(number)
    return _undone(request, find, lambda: services.move_back(find, pk), "#place")


@require_POST
@asks_reason
def share(request: HttpRequest, number: str) -> HttpResponse:
    """Let visitors see it, or no longer."""
    find = plain_find(number)
    wanted = request.POST.get("shared")
    if wanted not in ("yes", "no"):
        return HttpResponseBadRequest("Say whether visitors may see it.")
    act = partial(giving.share, shared=wanted == "yes", reason=reason_given(request))
    try:
        find = unless_it_tells(request, find, act)
    except TellsSite as tells:
        return ask_first(request, tells)
    except giving.NotGiven as why:
        messages.error(request, str(why))
        return redirect(find)
    messages.success(
        request, "Visitors may see it." if find.shared else "It is no longer shared with visitors."
    )
    return redirect(find)


@require_POST
@kept_once
def opinion(request: HttpRequest, number: str) -> HttpResponse:
    """Write an opinion down as the current one of its kind."""
    find = plain_find(number)
    form = OpinionForm(request.POST, find=find)
    if not form.is_valid():
        return show(request, owners_find(number), status=422, opinion_form=form)
    filled = said_of(find)
    before = find.opinions.filter(about=form.cleaned_data["about"], current=True).first()
    with transaction.atomic():
        name = form.cleaned_data["by_name"]
        form.instance.by = person_named(name) if name else None
        given = services.give_opinion(form.instance)
    undo = reverse("finds:find_opinion_undo", args=[number, given.pk, before.pk if before else 0])
    say_with_undo(request, "The opinion is saved; any earlier one of its kind stays.", undo)
    say_what_they_fill(request, [find.pk], filled)
    return redirect(find.get_absolute_url() + "#opinions")


@require_POST
@kept_once
def undo_opinion(request: HttpRequest, number: str, pk: int, before: int) -> HttpResponse:
    """It was never given, and the one before is held again."""
    find = plain_find(number)
    return _undone(request, find, lambda: services.take_opinion_back(find, pk, before))


@require_POST
@kept_once
def withdraw(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """An opinion no longer held; it stays on record."""
    find = plain_find(number)
    services.withdraw_opinion(get_object_or_404(Opinion.objects.filter(find=find, current=True), pk=pk))
    undo = reverse("finds:find_opinion_hold", args=[number, pk])
    say_with_undo(request, "That opinion is no longer the current one; it stays on record.", undo)
    return redirect(find.get_absolute_url() + "#opinions")


@require_POST
@kept_once
def hold_again(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """An opinion that was withdrawn by mistake."""
    find = plain_find(number)
    opinion = get_object_or_404(Opinion.objects.filter(find=find, current=False), pk=pk)
    return _undone(request, find, lambda: services.hold_opinion(opinion))


def _undone(
    request: HttpRequest, find: Specimen, act: Callable[[], object], place: str = "#opinions"
) -> HttpResponse:
    """Undo by `act`, or say why not, and go on where it was undone."""
    with saying_why_not(request, services.ChangedSince):
        act()
        messages.success(request, "Undone.")
    return redirect(next_address(request, find.get_absolute_url()).partition("#")[0] + place)


@require_POST
@kept_once
def match(request: HttpRequest, number: str) -> HttpResponse:
    """Put it beside its twin."""
    find = plain_find(number)
    form = MatchForm(request.POST, find=find)
    if not form.is_valid():
        return show(request, owners_find(number), status=422, match_form=form)
    other = form.cleaned_data["number"]
    services.match(find, other)
    messages.success(request, f"{find.number} and {other.number} match.")
    return redirect(find.get_absolute_url() + "#twins")


@require_POST
@kept_once
def unmatch(request: HttpRequest, number: str) -> HttpResponse:
    """It is no twin after all."""
    find = plain_find(number)
    services.part_ways(find)
    messages.success(request, f"{find.number} has no twins now.")
    return redirect(find.get_absolute_url() + "#twins")


@require_POST
@kept_once
def add_part(request: HttpRequest, number: str) -> HttpResponse:
    """Give a part its own record under the same number."""
    find = plain_find(number)
    form = PartForm(request.POST)
    part = None
    if form.is_valid():
        try:
            part = services.new_part(find, form.cleaned_data["what"])
        except ValueError as why:
            form.add_error("what", str(why))
    if part is None:
        return show(request, owners_find(number), status=422, part_form=form)
    messages.success(request, f"{part.number} is added.")
    return redirect(part)


@require_POST
def put_in_bin(request: HttpRequest, number: str) -> HttpResponse:
    """Out of sight; its page offers the way back."""
    find = plain_find(number)
    find.put_in_bin()
    say_with_undo(
        request,
        f"{find.number} is in the bin. Nothing is lost.",
        reverse("finds:find_put_back", args=[number]),
    )
    return redirect(find)


@require_POST
def take_out_of_bin(request: HttpRequest, number: str) -> HttpResponse:
    """Back where it was."""
    find = get_object_or_404(Specimen.everything.in_bin(), number=number)
    with saying_why_not(request, StillNeeded):
        find.take_out_of_bin()
        messages.success(request, f"{find.number} is back.")
    return redirect(find)
