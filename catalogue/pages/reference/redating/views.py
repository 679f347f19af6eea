"""Redating: how many finds wait, a button, and which phrases changed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.specimens.derived.redating import latest_changes, redate_stale, stale, worker
from catalogue.specimens.models import Specimen
from catalogue.specimens.tables import current_reference


@require_safe
def redating(request: HtmxRequest) -> HttpResponse:
    """The page; while work goes on it asks again by itself for the part that moves."""
    reference = current_reference()
    total = Specimen.everything.count()
    waiting = stale(reference).count()
    context = {
        "total": total,
        "waiting": waiting,
        "done": total - waiting,
        "going": bool(waiting) and worker.running,
        "changes": latest_changes(),
        "version": reference.version,
    }
    name = "pages/reference/redating/state.html" if request.htmx else "pages/reference/redating/redating.html"
    return render(request, name, context)


@require_POST
def redate_now(request: HttpRequest) -> HttpResponse:
    """Wake the worker; where none runs, redate here and now."""
    if worker.running:
        worker.wake()
        return redirect("reference:redating")
    changed = max((progress.changed for progress in redate_stale()), default=0)
    messages.success(
        request, f"Everything is up to date; {changed} phrase{'' if changed == 1 else 's'} changed."
    )
    return redirect("reference:redating")
