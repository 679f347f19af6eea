"""Condition by parts of the vessel, two reports beside each other, and the treatment record."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.care.compare import compare
from catalogue.care.forms import PartsForm
from catalogue.care.grading import steps as rule_steps
from catalogue.care.models import ConditionReport
from catalogue.care.services import report_condition
from catalogue.people.services import person_named
from catalogue.photos.services.uploads import gather

from .finds import get_find

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@GET_OR_POST
def parts(request: HttpRequest, number: str) -> HttpResponse:
    """A report part by part; it begins as the last one was."""
    find = get_find(number)
    last = find.condition_reports.prefetch_related("damages").first()
    before = {(d.part, d.kind): d.extent for d in last.damages.all()} if last else {}
    posted = request.method == "POST"
    initial = {"on": timezone.localdate()}
    form = PartsForm(request.POST if posted else None, before=before, initial=initial)
    picked = gather(request) if posted else None
    if posted and form.is_valid() and not picked.failed:
        data = form.cleaned_data
        report = ConditionReport(find=find, on=data["on"], grade=form.grade_given(), note=data["note"])
        with transaction.atomic():
            report.by = person_named(data["by_name"]) if data["by_name"] else None
            report_condition(report, form.damages())
            report.photos.set(picked.file_under(find).taken)
        messages.success(request, f"Written down: {report.get_grade_display()}.")
        return redirect("workbench:piece", number)
    context = {"find": find, "form": form, "last": last, "picked": picked, "rule": rule_steps()}
    return render(request, "pages/workbench/condition_parts.html", context, status=422 if posted else 200)


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
