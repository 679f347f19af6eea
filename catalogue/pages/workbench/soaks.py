"""Soaking the salt out."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from catalogue.care.forms import SoakForm, SoakReadingForm
from catalogue.care.models import Soak, SoakMember, SoakReading
from catalogue.care.queries.bath_page import candidates
from catalogue.care.queries.workbench import soak_row
from catalogue.care.services import (
    Hazard,
    SoakRefused,
    end_soak,
    keep_soak,
    put_all_back_in_soak,
    put_all_in_soak,
    put_back_in_soak,
    read_soak,
    start_soak,
    take_out_of_soak,
)
from catalogue.care.soak_plot import plot_of
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.limits import key_typed
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.hazards import asks_reason, reasons_given
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_out, say_with_undo, saying_why_not
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


@GET_OR_POST
@asks_reason
@kept_once
def new(request: HttpRequest) -> HttpResponse:
    """Begin a soak with the pieces ticked."""
    posted = request.method == "POST"
    picked = set((request.POST if posted else request.GET).getlist("find"))
    form = SoakForm(request.POST if posted else None)
    if posted and form.is_valid():
        try:
            finds = Specimen.objects.filter(number__in=picked).in_order()
            soak = start_soak(form.instance, finds, reasons=reasons_given(request))
        except (SoakRefused, Hazard) as error:
            form.instance.pk = None
            form.add_error(None, str(error))
        else:
            return redirect("workbench:soak", soak.pk)
    context = {"form": form, "candidates": candidates(), "picked": picked}
    return render(request, "pages/workbench/soak_new.html", context, status=422 if posted else 200)


@GET_OR_POST
@kept_once
def soak(request: HttpRequest, pk: int) -> HttpResponse:
    """One soak: its pieces, its readings, whether it is ready; a reading is added here."""
    there = get_soak(pk)
    form = SoakReadingForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        read_soak(there, data["value"], changed=data["changed_water"], at=data["at"], note=data["note"])
        return redirect("workbench:soak", pk)
    row = soak_row(there, timezone.now())
    covers = Photo.objects.covers_of([member.find_id for member in row.members])
    context = {
        "row": row,
        "soak": there,
        "form": form,
        "pieces": [(member, covers.get(member.find_id)) for member in row.members],
        "plot": plot_of(there),
        "stages": Specimen.Stage,
        "past": [member for member in there.members.all() if member.out_at],
    }
    return render(
        request, "pages/workbench/soak.html", context, status=422 if request.method == "POST" else 200
    )


@GET_OR_POST
@kept_once
def rule(request: HttpRequest, pk: int) -> HttpResponse:
    """Name, tap reading and the rule, set anew."""
    there = get_soak(pk)
    form = SoakForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        try:
            keep_soak(form.instance, form.changed_columns())
        except SoakRefused as error:
            form.add_error(None, str(error))
        else:
            return redirect("workbench:soak", pk)
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/workbench/soak_rule.html", {"form": form, "soak": there}, status=status)


@GET_OR_POST
@asks_reason
@kept_once
def pieces(request: HttpRequest, pk: int) -> HttpResponse:
    """More pieces into the water."""
    there = get_soak(pk)
    if request.method == "POST":
        try:
            finds = Specimen.objects.filter(number__in=request.POST.getlist("find"))
            put_all_in_soak(there, finds.in_order(), reasons=reasons_given(request))
        except (SoakRefused, Hazard) as error:
            messages.warning(request, f"No piece was put in. {error}")
        return redirect("workbench:soak", pk)
    here = {member.find_id for member in there.members.all() if not member.out_at}
    offered = [row for row in candidates() if row[0].pk not in here]
    return render(
        request, "pages/workbench/soak_pieces.html", {"soak": there, "candidates": offered, "picked": set()}
    )


@require_POST
@kept_once
def take_out(request: HttpRequest, pk: int, member: int) -> HttpResponse:
    """One piece out of the water, on to its next stage."""
    there = get_object_or_404(SoakMember.objects.select_related("find"), pk=member, soak=pk)
    stage = request.POST.get("stage", "")
    with saying_why_not(request, SoakRefused, level=messages.WARNING):
        _, new = take_out_of_soak(there, stage=stage if stage in Specimen.Stage.values else "")
        back = reverse("workbench:soak_back", args=[pk, member])
        say_out(request, [there.find.number], "out of the water", back, new=new)
    return redirect("workbench:soak", pk)


@require_POST
@kept_once
def put_back(request: HttpRequest, pk: int, member: int) -> HttpResponse:
    """A piece that was tapped out wrongly is in the water as before."""
    there = get_object_or_404(SoakMember.objects.select_related("find"), pk=member, soak=pk)
    with saying_why_not(request, SoakRefused, level=messages.WARNING):
        put_back_in_soak(there)
        messages.success(request, f"{there.find.number} is in the water again, as before.")
    return redirect("workbench:soak", pk)


@require_POST
@kept_once
def put_all_back(request: HttpRequest, pk: int, members: str) -> HttpResponse:
    """All pieces that came out by one wrong tap are in the water as before, or none where one can't be."""
    with saying_why_not(request, SoakRefused, before="Nothing was put back. ", level=messages.WARNING):
        back = put_all_back_in_soak(get_soak(pk), members_named(members))
        messages.success(request, f"{len(back)} pieces are in the water again, as before.")
    return redirect("workbench:soak", pk)


@GET_OR_POST
@kept_once
def reading(request: HttpRequest, pk: int, reading: int) -> HttpResponse:
    """A reading put right."""
    there = record_to_edit(request, SoakReading.everything.select_related("soak"), pk=reading, soak=pk)
    form = SoakReadingForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "The reading is saved.")
        return redirect("workbench:soak", pk)
    context = {"form": form, "soak": there.soak, "reading": there}
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/workbench/soak_reading.html", context, status=status)


@require_POST
@kept_once
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything out."""
    stage, there = request.POST.get("stage", ""), get_soak(pk)
    inside = [str(member.pk) for member in there.members.all() if not member.out_at]
    end_soak(there, stage=stage if stage in Specimen.Stage.values else "")
    words = "The soak has ended; every piece has it in its history."
    if inside:
        say_with_undo(request, words, reverse("workbench:soak_all_back", args=[pk, "-".join(inside)]))
    else:
        messages.success(request, words)
    return redirect("workbench:soak", pk)


def members_named(keys: str) -> list[int]:
    """The keys of "4-5-6"; what is no key is passed over."""
    return [key for typed in keys.split("-") if (key := key_typed(typed)) is not None]


def get_soak(pk: int) -> Soak:
    """The soak with its pieces and readings; 404 where there is none."""
    soaks = Soak.objects.select_related("vessel").prefetch_related("members__find", "readings")
    return get_object_or_404(soaks, pk=pk)
