"""A bath while it runs: the clock, looking in, pieces coming out, the end."""

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.cautions import DEFER
from catalogue.care.chemistry import BadQuantity
from catalogue.care.forms import EndForm, LiftForm, StartForm
from catalogue.care.models import Bath
from catalogue.care.queries.bath_page import BathPage, bath_page, gates_to_look_for
from catalogue.care.services import Blocked, NotNow, end_bath, lift, look_in, set_clock_right, start_load

from .bath_plan import get_bath, get_member, keep_notes

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
    bath = get_bath(pk)
    form = StartForm(request.POST)
    wrong = keep_notes(request, bath)
    if not form.is_valid() or wrong:
        form.add_error(None, wrong)
        return show(request, bath, status=422, start_form=form)
    try:
        start_load(bath, **form.times)
    except Blocked as blocked:
        form.add_error(None, [f"{number}: {why}" for number, why in blocked.why.items()])
    except (NotNow, BadQuantity) as error:
        form.add_error(None, str(error))
    if form.errors:
        return show(request, bath, status=422, start_form=form)
    messages.success(request, "The clock runs.")
    return redirect("workbench:bath", pk)


@require_POST
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
        look_in(load, again_in=timedelta(minutes=int(minutes)), note=request.POST.get("note", "")[:200])
        messages.success(request, f"Noted. Look again in {minutes} minutes.")
    return redirect("workbench:bath", pk)


@require_POST
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
        try:
            load = set_clock_right(load, ago=timedelta(minutes=int(minutes)))
        except NotNow as error:
            messages.warning(request, str(error))
        else:
            messages.success(request, f"In since {timezone.localtime(load.began_at):%H:%M}.")
    return redirect("workbench:bath", pk)


@require_POST
def take_out(request: HttpRequest, pk: int, member: int) -> HttpResponse:
    """A piece comes out, with how much growth is left on it."""
    member = get_member(pk, member)
    form = LiftForm(request.POST)
    number = member.find.number
    if not form.is_valid():
        messages.warning(request, f"{number}: say how much growth is left, and a time that has been.")
        return redirect("workbench:bath", pk)
    data = form.cleaned_data
    try:
        treatment, new = lift(member, data["outcome"], at=data["at"], note=data["note"])
    except NotNow as error:
        messages.warning(request, f"{number}: {error}")
    else:
        if new:
            messages.success(request, f"{number} is out: {member.Outcome(data['outcome']).label}.")
        else:
            messages.warning(request, f"{number} was out already; nothing was written twice.")
    return redirect("workbench:bath", pk)


@require_POST
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
