"""A record's history, an earlier state of it brought back, and a change taken back from its notice."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import merged_into
from catalogue.pages.parts.history_kinds import HISTORY_KINDS, HistoryKind, history_address
from catalogue.pages.parts.history_pages import back_address, page_of_record, show_back_to, show_history
from catalogue.pages.parts.history_restoring import (
    EarlierState,
    NotRestored,
    bring_back,
    state_at,
    state_version,
    stays_otherwise,
)
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import saying_why_not
from catalogue.specimens.models import Specimen

CHANGED_AFTER = "It was changed again since, so this was not undone. Its history leads back to any state."


@require_safe
def history(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Who changed what, the latest first."""
    known, record = _found(kind, pk)
    if isinstance(record, Specimen):
        return redirect(history_address(record))
    return show_history(request, known, record)


@GET_OR_POST
@kept_once
def back_to(request: HttpRequest, kind: str, pk: int, entry: int) -> HttpResponse:
    """What going back to that state would change; on confirmation, do it."""
    known, record = _found(kind, pk)
    then = _state(known, pk, entry)
    if isinstance(record, Specimen):
        return redirect(back_address(known, record, entry))
    return show_back_to(request, known, record, then)


@require_POST
@kept_once
def undo(request: HttpRequest, kind: str, pk: int, before: int, after: int) -> HttpResponse:
    """Take back what was saved between two states, where nothing was changed since."""
    known, record = _found(kind, pk)
    then = _state(known, pk, before)
    with saying_why_not(request, NotRestored):
        if state_version(record) != str(after):
            raise NotRestored(CHANGED_AFTER)
        done = bring_back(known, pk, then, str(after), whole=True)
        record = known.rows.get(pk=pk)
        stayed = stays_otherwise(known, record, then)
        if getattr(record, "file", "") != getattr(then.entry, "file", ""):
            stayed.append("letter or permit")
        left = f", but for its {' and '.join(stayed)}" if stayed else ""
        said = [
            f"Undone: {record} {known.as_before}{left}.",
            *(f"{line}." for line in done.left),
            done.follows,
        ]
        messages.success(request, " ".join(filter(None, said)))
    return redirect(next_address(request, page_of_record(record)))


def _found(kind: str, pk: int) -> tuple[HistoryKind, Any]:
    known = HISTORY_KINDS.get(kind)
    record = known.rows.filter(pk=pk).first() if known else None
    if known is None or record is None:
        raise Http404("There is no such record.")
    if into := merged_into(record):
        raise Http404(f"It was merged into {into}: undo that on the page of {into}.")
    return known, record


def _state(kind: HistoryKind, pk: int, stamp: int) -> EarlierState:
    found = state_at(kind, pk, stamp)
    if found is None:
        raise Http404("Nothing is on record of that time.")
    return found
