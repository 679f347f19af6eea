"""A bath as it stands: its clock, looking in, pieces out, its end."""

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.chemistry import BadQuantity
from catalogue.care.forms import EndForm, StartForm, TakeOutForm
from catalogue.care.models import Bath, BathMember
from catalogue.care.queries.bath_page import BathPage, bath_page, gates_to_look_for
from catalogue.care.safety import DEFER
from catalogue.care.services import (
    Blocked,
    NotNow,
    end_bath,
    look_in,
    put_all_back_in_bath,
    put_back_in_bath,
    set_clock_right,
    start_load,
    take_all_out_of_bath,
    take_out_of_bath,
)
from catalogue.common.forms.idempotency_key import keep_once, kept_once
from catalogue.common.localisation import clock_words
from catalogue.pages.parts.typed_text import short_note
from catalogue.pages.parts.undo import say_out, saying_why_not

from .bath_notes import keep_notes
from .bath_planning import get_bath
from .soaks import members_named


def get_member(pk: int, member: int) -> BathMember:
    return get_object_or_404(BathMember.objects.select_related("bath", "find"), pk=member, bath=pk)


LOOK_AGAIN_MIN = (15, 30, 60)


@require_safe
def bath(request: HttpRequest, pk: int) -> HttpResponse:
    """One bath as it stands: its plan, its clock or its end."""
    return show(request, get_bath(pk))


def show(request: HttpRequest, bath: Bath, *, status: int = 200, **forms: object) -> HttpResponse:
    """The page, with a form again where it had errors."""
    page: BathPage = bath_page(bath)
    context = {
        "page": page,
        "defer": DEFER,
        "bath_pieces_address": reverse("workbench:bath", args=[bath.pk]) + "#pieces",
        "bath": bath,
        "gates": gates_to_look_for(),
        "start_form": StartForm(),
        "end_form": EndForm(),
        "again": LOOK_AGAIN_MIN,
        "outcomes": bath.members.model.Outcome,
        "pictures": bath.photos.all(),
        **forms,
    }
    name = "ended" if bath.ended_at else page.row.state
    return render(request, f"pages/workbench/bath_{name}.html", context, status=status)


@require_POST
def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything is in: start the clock."""
    # What is typed beside the pieces stays, also where the clock can't start yet.
    wrong = keep_notes(request, get_bath(pk))
    return keep_once(request, lambda: _start(request, get_bath(pk), wrong))


def _start(request: HttpRequest, bath: Bath, wrong: list[str]) -> HttpResponse:
    form = StartForm(request.POST)
    if not form.is_valid() or wrong:
        form.add_error(None, wrong)
        return show(request, bath, status=422, start_form=form)
    try:
        times = form.times
        start_load(bath, look_from=times["look_from"], look_to=times["look_to"])
    except Blocked as blocked:
        form.add_error(None, [f"{number}: {why}" for number, why in blocked.why.items()])
    except (NotNow, BadQuantity) as error:
        form.add_error(None, str(error))
    if form.errors:
        return show(request, bath, status=422, start_form=form)
    messages.success(request, "The clock runs.")
    return redirect("workbench:bath", bath.pk)


@require_POST
@kept_once
def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody looked in; again in so many minutes."""
    bath = get_bath(pk)
    minutes = request.POST.get("again", "")
    if minutes not in {str(m) for m in LOOK_AGAIN_MIN}:
        return HttpResponseBadRequest("Look again in 15, 30 or 60 minutes.")
    load = bath.loads.filter(ended_at=None).first()
    if load is None:
        messages.warning(request, "Nothing is in this bath.")
    else:
        look_in(load, again_in=timedelta(minutes=int(minutes)), note=short_note(request))
        messages.success(request, f"Recorded. Look again in {minutes} minutes.")
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def set_right(request: HttpRequest, pk: int) -> HttpResponse:
    """They went in so many minutes ago, whatever the clock said then."""
    bath = get_bath(pk)
    minutes = request.POST.get("minutes", "").strip()
    load = bath.loads.filter(ended_at=None).first()
    if load is None:
        messages.warning(request, "Nothing is in this bath.")
    elif not (minutes.isdecimal() and minutes.isascii() and len(minutes) < 5):
        messages.warning(request, "Type whole minutes: how long the pieces have been in.")
    else:
        with saying_why_not(request, NotNow, level=messages.WARNING):
            load = set_clock_right(load, ago=timedelta(minutes=int(minutes)))
            messages.success(request, f"In since {clock_words(load.began_at)}.")
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def take_out(request: HttpRequest, pk: int, member: int) -> HttpResponse:
    """A piece comes out, with how much growth is left on it."""
    piece = get_member(pk, member)
    form = TakeOutForm(request.POST)
    number = piece.find.number
    if not form.is_valid():
        messages.warning(request, f"{number}: say how much growth is left, and a time that has been.")
        return redirect("workbench:bath", pk)
    data = form.cleaned_data
    with saying_why_not(request, NotNow, before=f"{number}: ", level=messages.WARNING):
        _, new = take_out_of_bath(piece, data["outcome"], at=data["at"], note=short_note(request))
        back = reverse("workbench:bath_back", args=[pk, member])
        words = f"out: {piece.Outcome(data['outcome']).label}"
        say_out(request, [number], words, back, new=new)
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def put_back(request: HttpRequest, pk: int, member: int) -> HttpResponse:
    """A piece that was tapped out wrongly is in the bath as before."""
    piece = get_member(pk, member)
    with saying_why_not(request, NotNow, before=f"{piece.find.number}: ", level=messages.WARNING):
        put_back_in_bath(piece)
        messages.success(request, f"{piece.find.number} is in the bath again, as before.")
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def take_all_out(request: HttpRequest, pk: int) -> HttpResponse:
    """All pieces of a load come out by one tap, as much growth left on each."""
    there, outcome = get_bath(pk), request.POST.get("outcome", "")
    if outcome not in BathMember.Outcome.values:
        return HttpResponseBadRequest("Say how much growth is left.")
    with saying_why_not(request, NotNow, level=messages.WARNING):
        out = take_all_out_of_bath(there, outcome)
        keys = "-".join(str(member.pk) for member in out)
        back = reverse("workbench:bath_all_back", args=[pk, keys]) if out else ""
        words = f"out: {BathMember.Outcome(outcome).label}"
        say_out(request, [member.find.number for member in out], words, back)
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def put_all_back(request: HttpRequest, pk: int, members: str) -> HttpResponse:
    """All pieces that came out by one wrong tap are in the bath as before, or none where one can't be."""
    with saying_why_not(request, NotNow, before="Nothing was put back. ", level=messages.WARNING):
        back = put_all_back_in_bath(get_bath(pk), members_named(members))
        messages.success(request, f"{len(back)} pieces are in the bath again, as before.")
    return redirect("workbench:bath", pk)


@require_POST
@kept_once
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Close the bath, or give up its plan."""
    bath = get_bath(pk)
    if bath.ended_at:
        messages.warning(request, "This bath had ended already; nothing was written twice.")
        return redirect("workbench:bath", pk)
    if not bath.mixed_at:
        end_bath(bath, Bath.Ended.NOT_MIXED)
        messages.success(request, "The plan is given up; its pieces are free again.")
        return redirect("workbench:workbench")
    form = EndForm(request.POST)
    if form.is_valid():
        data = dict(form.cleaned_data)
        try:
            end_bath(bath, data.pop("how"), at=data.pop("at"), **data)
        except NotNow as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "The bath is closed.")
            return redirect("workbench:bath", pk)
    return show(request, bath, status=422, end_form=form)
