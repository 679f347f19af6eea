"""A bath before the acid is opened: vessel, strength, pieces."""

from decimal import Decimal, InvalidOperation

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.care.care_tables import care_tables
from catalogue.care.chemistry import BadQuantity
from catalogue.care.forms import BathForm
from catalogue.care.models import Bath, BathMember, Vessel
from catalogue.care.queries.bath_page import candidates
from catalogue.care.services import NotNow, choose, leave_out, plan_bath
from catalogue.common.limits import NOTE_LENGTH
from catalogue.specimens.models import Specimen

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@GET_OR_POST
def new(request: HttpRequest) -> HttpResponse:
    """Choose vessel, acid and pieces for a bath."""
    posted = request.method == "POST"
    picked = set((request.POST if posted else request.GET).getlist("find"))
    form = BathForm(request.POST if posted else None, instance=Bath())
    if posted and form.is_valid():
        bath = plan_bath(form.instance, Specimen.objects.filter(number__in=picked))
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


def keep_notes(request: HttpRequest, bath: Bath) -> list[str]:
    """Keep growth and reasons of the pieces that wait; gives a sentence for each that can't be."""
    wrong = []
    for member in bath.members.filter(in_at=None).select_related("find"):
        if request.POST.get("leave") == str(member.pk):
            leave_out(member)
            continue
        try:
            member.growth_g = grams(request.POST.get(f"growth-{member.pk}", ""))
        except BadQuantity as error:
            wrong.append(f"{member.find.number}: {error}")
        member.override_reason = request.POST.get(f"reason-{member.pk}", "").strip()[:NOTE_LENGTH]
        member.save(update_fields=["growth_g", "override_reason"])
    return wrong


def grams(text: str) -> Decimal | None:
    """What was typed as grams of growth; None for nothing. Raises BadQuantity."""
    text = text.strip().replace(",", ".")
    if not text:
        return None
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise BadQuantity("growth_g", "The growth is not a number of grams.") from None
    if not value.is_finite() or not 0 < value <= 5000:
        raise BadQuantity("growth_g", "The growth is more than 0 and at most 5000 g.")
    return value.quantize(Decimal("0.1"))


def get_bath(pk: int) -> Bath:
    """The bath with its vessel and rings; 404 where there is none."""
    return get_object_or_404(Bath.objects.select_related("vessel").prefetch_related("vessel__marks"), pk=pk)


def get_member(pk: int, member: int) -> BathMember:
    return get_object_or_404(BathMember.objects.select_related("bath", "find"), pk=member, bath=pk)
