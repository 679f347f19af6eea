"""The stage of a find, and the two short forms of care."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.care.cautions import CAUTIONS, DEFER
from catalogue.care.forms import ConditionForm, TreatmentForm, damage_forms
from catalogue.care.services import log_treatment, report_condition
from catalogue.pages.parts.next_address import next_address
from catalogue.people.models import Person
from catalogue.people.services import person_named
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@require_POST
def stage(request: HttpRequest, number: str) -> HttpResponse:
    """Put a find in a stage by one tap."""
    find = get_find(number)
    try:
        set_stage(find, request.POST.get("stage", ""))
    except ValueError:
        return HttpResponseBadRequest("That is no stage of a find.")
    messages.success(request, f"{find.number} is now: {find.get_stage_display()}.")
    return redirect(next_address(request, find.get_absolute_url()))


@GET_OR_POST
def condition(request: HttpRequest, number: str) -> HttpResponse:
    """Write down the state a find is in."""
    find = get_find(number)
    data = request.POST if request.method == "POST" else None
    form, damages = ConditionForm(data), damage_forms(data)
    form.instance.find = find
    if data is not None and not damages.management_form.is_valid():
        # The count of rows was lost on the way: fresh rows, or the page could never be sent again.
        form.add_error(None, "The rows of damage could not be read. Fill them in again and save.")
        damages = damage_forms()
    if request.method == "POST" and form.is_valid() and damages.is_valid():
        with transaction.atomic():
            form.instance.by = _person(form.cleaned_data["by_name"])
            report_condition(form.instance, damages.damages())
        messages.success(request, "The condition is written down.")
        return redirect(find.get_absolute_url() + "#history")
    status = 422 if request.method == "POST" else 200
    context = {"find": find, "form": form, "damages": damages}
    return render(request, "pages/workbench/condition.html", context, status=status)


@GET_OR_POST
def treatment(request: HttpRequest, number: str) -> HttpResponse:
    """Write down what was done to a find."""
    find = get_find(number)
    form = TreatmentForm(request.POST if request.method == "POST" else None, find=find)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.instance.by = _person(form.cleaned_data["by_name"])
            log_treatment(form.instance, stage=form.cleaned_data["stage"])
        messages.success(request, "The treatment is written down.")
        return redirect(find.get_absolute_url() + "#history")
    status = 422 if request.method == "POST" else 200
    context = {"find": find, "form": form, "cautions": CAUTIONS, "defer": DEFER}
    return render(request, "pages/workbench/treatment.html", context, status=status)


def get_find(number: str) -> Specimen:
    """The find of that number with what says whether its site is on hold; 404 where there is none."""
    return get_object_or_404(Specimen.objects.select_related("dive__site", "site"), number=number)


def _person(name: str) -> Person | None:
    return person_named(name) if name else None
