"""A find's stage, its condition (short, by parts, two reports compared) and its treatments written down."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.forms import ConditionSheet, PartsForm, TreatmentForm
from catalogue.care.grading import compare, grade_rules
from catalogue.care.models import ConditionReport, Treatment
from catalogue.care.piece_facts import CAUTIONS
from catalogue.care.safety import DEFER
from catalogue.care.services import (
    Hazard,
    HazardAsksReason,
    correct_condition,
    correct_treatment,
    log_treatment,
    move_on,
    report_condition,
)
from catalogue.common.forms import HouseModelForm
from catalogue.common.forms.idempotency_key import keep_once, kept_once
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.hazards import asks_reason, reason_given
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_changed, say_saved, take_back
from catalogue.people.services import person_named
from catalogue.photos.models import Photo
from catalogue.photos.queries import first_role
from catalogue.photos.services.uploads import Picked, gather
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import undo_change


@GET_OR_POST
def parts(request: HttpRequest, number: str) -> HttpResponse:
    """A report part by part; it begins as the last one was."""
    if request.method != "POST":
        return _parts(request, number, None)
    # Pictures are taken in before anything is locked.
    picked = gather(request, role=_first_role(get_find(number)))
    return keep_once(request, lambda: _parts(request, number, picked))


def _parts(request: HttpRequest, number: str, picked: Picked | None) -> HttpResponse:
    find = get_find(number)
    last = find.condition_reports.prefetch_related("damages").first()
    before = {(d.part, d.kind): d.extent for d in last.damages.all()} if last else {}
    initial = {"on": timezone.localdate()}
    form = PartsForm(None if picked is None else request.POST, before=before, initial=initial)
    if picked is not None and form.is_valid() and not picked.failed:
        data = form.cleaned_data
        report = ConditionReport(find=find, on=data["on"], grade=form.grade_given(), note=data["note"])
        with transaction.atomic():
            report.by = person_named(data["by_name"]) if data["by_name"] else None
            report_condition(report, form.damages())
            report.photos.set(picked.file_under(find).taken)
        messages.success(request, f"Recorded: {report.get_grade_display()}.")
        return redirect("workbench:piece", number)
    context = {
        "find": find,
        "form": form,
        "last": last,
        "picked": picked,
        "rule": grade_rules(),
        "first_role": _first_role(find),
    }
    return render(
        request, "pages/workbench/condition_parts.html", context, status=200 if picked is None else 422
    )


def _first_role(find: Specimen) -> Photo.Role:
    """What pictures added at the bench most likely show."""
    return first_role(find, cleaned=find.treatments.exists())


@require_safe
def side_by_side(request: HttpRequest, number: str) -> HttpResponse:
    """Two reports beside each other; without a choice the first and the last."""
    find = get_find(number)
    reports = list(find.condition_reports.select_related("by").prefetch_related("damages", "photos"))
    by_key = {str(report.pk): report for report in reports}
    newer = by_key.get(request.GET.get("b", ""), reports[0] if reports else None)
    older = by_key.get(request.GET.get("a", ""), reports[-1] if reports else None)
    if older and newer and (older.on, older.pk) > (newer.on, newer.pk):
        older, newer = newer, older
    rows = compare(older, newer) if older and newer else []
    context = {"find": find, "reports": reports, "older": older, "newer": newer, "rows": rows}
    return render(request, "pages/workbench/compare.html", context)


@require_POST
@asks_reason
def stage(request: HttpRequest, number: str) -> HttpResponse:
    """Put a find in a stage by one tap."""
    find = get_find(number)
    before = find.stage
    try:
        move_on(find, request.POST.get("stage", ""), reason_given(request))
    except HazardAsksReason:
        raise
    except Hazard as why:
        messages.error(request, str(why))
        return redirect(next_address(request, find.get_absolute_url()))
    except ValueError:
        return HttpResponseBadRequest("That is no stage of a find.")
    say_changed(request, find, "stage", before, "workbench:stage_undo")
    return redirect(next_address(request, find.get_absolute_url()))


@require_POST
@kept_once
def undo_stage(request: HttpRequest, number: str, entry: int) -> HttpResponse:
    """Back to the stage before that entry of its history, unless it was changed again since."""
    return take_back(
        request, get_find(number), "stage", lambda find: undo_change(find, entry, column="stage")
    )


@GET_OR_POST
@kept_once
def condition(request: HttpRequest, number: str, pk: int | None = None) -> HttpResponse:
    """Write down the state a find is in, or put a report right."""
    find = get_find(number)
    reports = ConditionReport.everything.select_related("by").prefetch_related("damages")
    known = record_to_edit(request, reports, pk=pk, find=find) if pk else None
    data = request.POST if request.method == "POST" else None
    sheet = ConditionSheet(data, find=find, report=known)
    if data is not None and sheet.is_valid():
        form, damages = sheet.form, sheet.damages.rows()
        with transaction.atomic():
            fields = _with_person(form)
            if known:
                correct_condition(known, damages, fields=fields)
            else:
                report_condition(form.instance, damages)
        # What is damaged goes with the report and has no history: Undo would take half of it back.
        messages.success(request, f"The condition is {'put right' if known else 'recorded'}.")
        return redirect(find.get_absolute_url() + "#history")
    status = 422 if request.method == "POST" else 200
    context = {"find": find, "form": sheet.form, "damages": sheet.damages, "report": known}
    return render(request, "pages/workbench/condition.html", context, status=status)


@GET_OR_POST
@kept_once
def treatment(request: HttpRequest, number: str, pk: int | None = None) -> HttpResponse:
    """Write down what was done to a find, or put that right."""
    find = get_find(number)
    done = Treatment.everything.select_related("by")
    known = record_to_edit(request, done, pk=pk, find=find) if pk else None
    form = TreatmentForm(request.POST if request.method == "POST" else None, find=find, instance=known)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            fields = _with_person(form)
            if known:
                correct_treatment(known, fields=fields)
            else:
                log_treatment(form.instance, stage=form.cleaned_data["stage"])
        say_saved(request, form.instance, f"The treatment is {'put right' if known else 'recorded'}.")
        return redirect(find.get_absolute_url() + "#history")
    status = 422 if request.method == "POST" else 200
    context = {"find": find, "form": form, "cautions": CAUTIONS, "defer": DEFER, "treatment": known}
    return render(request, "pages/workbench/treatment.html", context, status=status)


def get_find(number: str) -> Specimen:
    """The find of that number with what says whether its site is on hold; 404 where there is none."""
    return get_object_or_404(Specimen.objects.select_related("dive__site", "site"), number=number)


def _with_person(form: HouseModelForm) -> list[str]:
    """Take who it was from the name typed, where it was changed; gives the columns changed with it."""
    if "by_name" not in form.changed_data:
        return form.changed_columns()
    name = form.cleaned_data["by_name"]
    form.instance.by = person_named(name) if name else None
    return [*form.changed_columns(), "by"]
