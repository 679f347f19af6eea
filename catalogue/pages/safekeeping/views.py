"""Keeping it all safe: where everything lies, how the originals are, and what was set aside."""

from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.defaultfilters import filesizeformat
from django.views.decorators.http import require_POST, require_safe

from catalogue.exchange.backup import daily, running
from catalogue.exchange.backup.day_folder import days_in
from catalogue.photos.services import set_aside
from catalogue.photos.services.integrity import amiss, every_original, look_again
from catalogue.photos.services.set_aside import FileCount, OtherThanTold

# What can be set aside on the owner's word.
FOUND = {"unknown": set_aside.unknown, "leftovers": set_aside.leftovers}
SHOWN = 100
FIGURES_CHANGED = "That has changed meanwhile: nothing was done. Look at the new figures below."


@require_safe
def safekeeping(request: HttpRequest) -> HttpResponse:
    """Where everything lies, how to copy it now, how the originals are, and what is coming."""
    look_again()
    backup = daily.state()
    known, rows, loose = every_original(), amiss(), set_aside.loose_originals()
    return render(
        request,
        "pages/safekeeping/safekeeping.html",
        {
            "folder": settings.DATA_DIR,
            "backup": backup,
            "plan": backup.plan,
            "days_kept": len(days_in(Path(backup.place))) if backup.place else 0,
            "task": running.current(),
            "originals": FileCount(len(known), sum(length for _, length in known.values())),
            "amiss": rows[:SHOWN],
            "amiss_more": max(0, len(rows) - SHOWN),
            "unknown": FileCount.of(loose.unknown),
            "leftovers": FileCount.of(loose.leftovers),
            "days": set_aside.days(),
            "set_aside_folder": set_aside.folder(),
        },
    )


@require_POST
def move_aside(request: HttpRequest, what: str) -> HttpResponse:
    """Set aside originals that the owner was told the number and size of."""
    if what not in FOUND:
        return redirect("safekeeping:safekeeping")
    found = FOUND[what]()
    if FileCount.of(found) != _told(request):
        messages.error(request, FIGURES_CHANGED)
    else:
        moved = set_aside.set_aside(found)
        messages.success(request, f"{_words(moved)} set aside. Nothing is deleted.")
    return redirect("safekeeping:safekeeping")


@require_POST
def delete_day(request: HttpRequest, day: str) -> HttpResponse:
    """Delete for good what was set aside on one day, whose number and size the owner was told."""
    try:
        gone = set_aside.delete_day(day, _told(request))
    except OtherThanTold:
        messages.error(request, FIGURES_CHANGED)
    else:
        messages.success(request, f"{_words(gone)} deleted for good.")
    return redirect("safekeeping:safekeeping")


def _told(request: HttpRequest) -> FileCount:
    """The number and size that the form was shown with; one that fits nothing where it has none."""
    try:
        return FileCount(int(request.POST.get("count", "")[:12]), int(request.POST.get("bytes", "")[:20]))
    except ValueError:
        return FileCount(-1, -1)


def _words(told: FileCount) -> str:
    return f"{told.count} picture{'' if told.count == 1 else 's'} ({filesizeformat(told.bytes)})"
