"""The two pages of a history: who changed what, and what going back to an earlier state would change."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from catalogue.common.forms.optimistic_lock import binned_at_of
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HistoryKind, history_address
from catalogue.pages.parts.history_restoring import (
    EarlierState,
    NotRestored,
    bring_back,
    preview_of,
    state_version,
)
from catalogue.pages.parts.undo import say_saved
from catalogue.specimens.models import Specimen


def show_history(request: HttpRequest, kind: HistoryKind, record: Any) -> HttpResponse:
    """Who changed what, the latest first."""
    changes = history_changes(kind, record.pk)
    leads_back = kind.stays is not None and not binned_at_of(record)
    told = [
        (change, back_address(kind, record, stamp) if leads_back and number and stamp else "")
        for number, change in enumerate(changes)
        for stamp in (change.moment if kind.by_moment else change.entry,)
    ]
    return render(request, "pages/history/history.html", {**_shown(kind, record), "changes": told})


def show_back_to(request: HttpRequest, kind: HistoryKind, record: Any, then: EarlierState) -> HttpResponse:
    """What going back to that state would change; on confirmation, do it."""
    why, status = "", 200
    if request.method == "POST":
        before = state_version(record)
        try:
            changed = bring_back(kind, record.pk, then, request.POST.get("version", ""))
        except NotRestored as error:
            why, status = str(error), 422
        else:
            record = kind.rows.get(pk=record.pk)
            if changed.differs:
                said = [f"{record} {'are' if kind.many else 'is'} back as {kind.was} then."]
                say_saved(request, record, " ".join(filter(None, [*said, changed.follows])), before)
            else:
                messages.info(request, "Nothing differs from how it was then.")
            return redirect(history_address(record))
    preview = preview_of(kind, record, then)
    shown = {**_shown(kind, record), "at": then.at, "preview": preview, "why": why}
    return render(request, "pages/history/back_to.html", shown, status=status)


def back_address(kind: HistoryKind, record: Any, stamp: int) -> str:
    """Where going back to a state is shown first."""
    if isinstance(record, Specimen):
        return reverse("finds:find_go_back", args=[record.number, stamp])
    return reverse("history:back_to", args=[kind.key, record.pk, stamp])


def page_of_record(record: Any) -> str:
    """The page that shows a record; its history where it has none."""
    if hasattr(record, "get_absolute_url"):
        return str(record.get_absolute_url())
    return history_address(record)


def _shown(kind: HistoryKind, record: Any) -> dict[str, Any]:
    return {
        "kind": kind,
        "record": record,
        "find": record if isinstance(record, Specimen) else None,
        "page": page_of_record(record),
        "history_page": history_address(record),
    }
