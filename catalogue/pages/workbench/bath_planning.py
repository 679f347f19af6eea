"""A bath is planned: its vessel, its acid, the pieces chosen for it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.care.care_tables import care_tables
from catalogue.care.forms import BathForm
from catalogue.care.models import Bath, Vessel
from catalogue.care.queries.bath_page import candidates
from catalogue.care.services import NotNow, choose, plan_bath
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.models import Specimen

from .bath_notes import keep_notes


@GET_OR_POST
@kept_once
def new(request: HttpRequest) -> HttpResponse:
    """Choose vessel, acid and pieces for a bath."""
    posted = request.method == "POST"
    picked = set((request.POST if posted else request.GET).getlist("find"))
    form = BathForm(request.POST if posted else None, instance=Bath())
    if posted and form.is_valid():
        try:
            bath = plan_bath(form.instance, Specimen.objects.filter(number__in=picked))
        except NotNow as error:
            form.instance.pk = None
            form.add_error(None, str(error))
        else:
            return redirect("workbench:bath", bath.pk)
    context = {
        "form": form,
        "candidates": candidates(),
        "picked": picked,
        "vessels": Vessel.objects.exists(),
        "nevers": [method for method in care_tables().methods.values() if method.never],
        "bath": None,
    }
    return render(request, "pages/workbench/bath_new.html", context, status=422 if posted else 200)


@GET_OR_POST
@kept_once
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Another vessel, acid or fill, while nothing is mixed."""
    bath = get_bath(pk)
    if bath.mixed_at or bath.ended_at:
        messages.warning(request, "It is mixed: what was poured stays as it is.")
        return redirect("workbench:bath", pk)
    form = BathForm(request.POST if request.method == "POST" else None, instance=bath)
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect("workbench:bath", pk)
    context = {"form": form, "bath": bath, "vessels": True}
    return render(
        request, "pages/workbench/bath_change.html", context, status=422 if request.method == "POST" else 200
    )


@GET_OR_POST
@kept_once
def pieces(request: HttpRequest, pk: int) -> HttpResponse:
    """More pieces for the next load."""
    bath = get_bath(pk)
    if request.method == "POST":
        try:
            for find in Specimen.objects.filter(number__in=request.POST.getlist("find")):
                choose(bath, find)
        except NotNow as error:
            messages.warning(request, str(error))
        return redirect("workbench:bath", pk)
    here = set(bath.members.filter(out_at=None).values_list("find_id", flat=True))
    offered = [row for row in candidates() if row[0].pk not in here]
    return render(
        request, "pages/workbench/bath_pieces.html", {"bath": bath, "candidates": offered, "picked": set()}
    )


@require_POST
def note_pieces(request: HttpRequest, pk: int) -> HttpResponse:
    """What is typed beside the chosen pieces: growth on each, a reason; or one is left out."""
    bath = get_bath(pk)
    for wrong in keep_notes(request, bath):
        messages.warning(request, wrong)
    return redirect(f"{reverse('workbench:bath', args=[pk])}#pieces")


def get_bath(pk: int) -> Bath:
    """The bath with its vessel and rings; 404 where there is none."""
    return get_object_or_404(Bath.objects.select_related("vessel").prefetch_related("vessel__marks"), pk=pk)
