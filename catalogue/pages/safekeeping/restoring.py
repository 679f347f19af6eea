"""Restoring: which backups there are; one checked whole, open from the next start on, or given up."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.defaultfilters import filesizeformat
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from catalogue.access.startup import migration_backup, restore_swap
from catalogue.common.localisation import day_words
from catalogue.exchange.backup import running
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.backup.day_folder import days_in
from catalogue.exchange.backup.restore import RestoreError, unpack, unpack_copy
from catalogue.exchange.backup.sent import drop_restored, whole_ones
from catalogue.exchange.backup.town_lists import lists_words
from catalogue.exchange.models import BackupPlan
from catalogue.pages.parts.http_methods import GET_OR_POST

from .backups import BUSY
from .forms import RestoreForm

CHECKING = "Checking the backup"
# Of many days so many are listed; any other can be named by its folder.
DAYS_SHOWN = 60


@dataclass(frozen=True, slots=True)
class BackupChoice:
    """A backup that can be restored: its path, when it was made, and where known how large it is."""

    path: Path
    made: datetime
    bytes: int | None = None


@sensitive_post_parameters("password")
@never_cache
@GET_OR_POST
def restore(request: HttpRequest) -> HttpResponse:
    """Choose a backup, have it checked and unpacked; nothing of the catalogue is touched by it."""
    form = RestoreForm(
        request.POST or None,
        request.FILES or None,
        initial={"file": request.GET.get("file", "")},
        too_large=bool(getattr(request, "too_large", ())),
    )
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data
        if running.begin(CHECKING, _work(asked["file"], asked["password"])) is None:
            messages.error(request, BUSY)
        return redirect("safekeeping:restore")
    shown = {
        "form": form,
        "task": _task(),
        "days": _days(),
        "sent": [BackupChoice(path, _made(path), path.stat().st_size) for path in whole_ones()],
        "copies": _copies(),
        "waits": restore_swap.is_ready(Path(settings.DATA_DIR)),
        "folder": settings.DATA_DIR,
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/safekeeping/restore.html", shown, status=status)


@require_POST
def give_up(request: HttpRequest) -> HttpResponse:
    """Take away what waits for the next start; the catalogue stays as it is."""
    if restore_swap.give_up(Path(settings.DATA_DIR)):
        messages.success(request, "Nothing waits any more: the catalogue stays as it is.")
    return redirect("safekeeping:restore")


def _task() -> running.Task | None:
    """What runs now, or the last check of a backup: how another work ended is told on its own page."""
    task = running.current()
    return task if task and (task.name == CHECKING or not task.ended) else None


def _work(file: str, password: str) -> running.Work:
    path, folder = Path(file), Path(settings.DATA_DIR)

    def work(progress: Progress, stop: running.Stop) -> str:
        try:
            said = restored(progress, stop)
        except RestoreError:
            # Sent again, the same one would be refused again.
            drop_restored(path)
            raise
        drop_restored(path)
        return said

    def restored(progress: Progress, stop: running.Stop) -> str:
        if migration_backup.is_copy(path):
            finds = unpack_copy(path, folder)
            return f"{path.name} is whole: {finds} finds. It is open from the next start on."
        checked = unpack(path, folder, password=password, progress=progress, stop=stop)
        told = checked.contents
        made = day_words(datetime.fromisoformat(told.made).date())
        lacks = f" {len(told.missing)} pictures were missing when it was made." if told.missing else ""
        return (
            f"{path.name}, made {made}: {told.finds} finds, {told.pictures} pictures, "
            f"{filesizeformat(checked.bytes)}; every file is whole.{lacks}"
            f"{lists_words(checked.towns)} It is open from the next start on."
        )

    return work


def _days() -> list[BackupChoice]:
    """The days in the folder of backups, the newest first."""
    place = BackupPlan.current().place
    found = reversed(days_in(Path(place))) if place else []
    return [BackupChoice(day, _made(day)) for day in list(found)[:DAYS_SHOWN]]


def _copies() -> list[BackupChoice]:
    """The copies of the database that were kept before a new version changed it, the newest first."""
    copies = migration_backup.copies(migration_backup.folder_of_copies(connection))
    return [BackupChoice(copy, _made(copy), copy.stat().st_size) for copy in reversed(copies)]


def _made(path: Path) -> datetime:
    return datetime.fromtimestamp(path.stat().st_mtime, timezone.get_current_timezone())
