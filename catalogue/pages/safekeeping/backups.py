"""Backups: where they go, made now, looked through; the one that runs and how it ends."""

from contextlib import suppress
from functools import partial
from pathlib import Path

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe
from django_htmx.http import HttpResponseClientRefresh

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.exchange.backup import daily, running
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.write import back_up_to
from catalogue.exchange.models import BackupPlan
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.http_methods import GET_OR_POST

from .forms import BackupPlaceForm, OneFileForm

# Pages without a field to type in, whose other words are of before the work that runs.
TELL_WHAT_STANDS = frozenset({"safekeeping:safekeeping", "safekeeping:take_in_rows"})
BUSY = "Something runs already: wait until it has ended, or stop it."


@GET_OR_POST
@kept_once
def place(request: HttpRequest) -> HttpResponse:
    """Choose where the backup of each day goes; the first one begins at once."""
    plan = BackupPlan.current()
    form = BackupPlaceForm(request.POST or None, initial={"place": plan.place, "keep_days": plan.keep_days})
    if request.method == "POST" and form.is_valid():
        form.save()
        # What it reads must be there: after the commit.
        transaction.on_commit(partial(running.begin, "Today's backup", daily.make_day))
        messages.success(request, "Saved. The first backup runs now.")
        return redirect("safekeeping:safekeeping")
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/safekeeping/place.html", {"form": form}, status=status)


@require_POST
def back_up_now(request: HttpRequest) -> HttpResponse:
    """Begin today's backup."""
    if running.begin("Today's backup", daily.make_day) is None:
        messages.error(request, BUSY)
    return redirect("safekeeping:safekeeping")


@require_POST
def look_through(request: HttpRequest) -> HttpResponse:
    """Begin to read every byte of the backups and compare it with its digest."""
    if running.begin("Looking through the backups", daily.look_through) is None:
        messages.error(request, BUSY)
    return redirect("safekeeping:safekeeping")


@sensitive_post_parameters("password", "once_more")
@never_cache
@GET_OR_POST
def one_file(request: HttpRequest) -> HttpResponse:
    """A backup to one file, under a password or not."""
    form = OneFileForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        file, password = Path(form.cleaned_data["file"]), form.cleaned_data["password"]

        def work(progress: Progress, stop: running.Stop) -> str:
            written = back_up_to(file, password=password, progress=progress, stop=stop)
            return f"A backup of {written.contents.finds} finds is whole: {file}."

        if running.begin("A backup to one file", work) is None:
            messages.error(request, BUSY)
        return redirect("safekeeping:safekeeping")
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/safekeeping/one_file.html", {"form": form}, status=status)


@require_safe
@never_cache
def task(request: HtmxRequest) -> HttpResponse:
    """How far it is: a part that asks for itself again while something runs.

    At its end a page that tells what stands, and has no field to type in, is asked for anew as a whole.
    """
    now = running.current()
    if (now is None or now.ended) and (there := request.htmx.current_url_abs_path):
        with suppress(Resolver404):
            if resolve(there.partition("?")[0]).view_name in TELL_WHAT_STANDS:
                return HttpResponseClientRefresh()
    return render(request, "pages/safekeeping/task.html", {"task": now})


@require_POST
def stop(request: HttpRequest) -> HttpResponse:
    """Ask what runs to end; nothing half is left of it."""
    if (now := running.current()) and not now.ended:
        now.stop.set()
        messages.success(request, f"{now.name}: it is being stopped, and nothing half is left of it.")
    return redirect("safekeeping:safekeeping")
