"""A record's history, an earlier state of it brought back, and a change taken back from its notice."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.forms.optimistic_lock import version_of
from catalogue.common.merged import merged_into
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS, HistoryKind, history_address
from catalogue.pages.parts.history_restoring import NotRestored, bring_back, preview_of
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_saved

CHANGED_AFTER = "It was changed again since, so this was not undone. Its history leads back to any state."


@require_safe
def history(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Who changed what, the latest first."""
    known, record = _found(kind, pk)
    shown = {"kind": known, "record": record, "page": page_of_record(record)}
    changes = history_changes(known, pk)
    return render(request, "pages/history/history.html", {**shown, "changes": changes})


@GET_OR_POST
@kept_once
def back_to(request: HttpRequest, kind: str, pk: int, entry: int) -> HttpResponse:
    """What going back to that state would change; on confirmation, do it."""
    known, record = _found(kind, pk)
    then = _entry(known, pk, entry)
    why, status = "", 200
    if request.method == "POST":
        before = version_of(record)
        try:
            changed = bring_back(known, pk, then, request.POST.get("version", ""))
        except NotRestored as error:
            why, status = str(error), 422
        else:
            record = known.model.everything.get(pk=pk)
            if changed:
                say_saved(request, record, f"{record} is back as it was then.", before)
            else:
                messages.info(request, "Nothing differs from how it was then.")
            return redirect("history:history", kind, pk)
    shown = {
        "kind": known,
        "record": record,
        "then": then,
        "preview": preview_of(known, record, then),
        "why": why,
        "page": page_of_record(record),
    }
    return render(request, "pages/history/back_to.html", shown, status=status)


@require_POST
@kept_once
def undo(request: HttpRequest, kind: str, pk: int, before: int, after: int) -> HttpResponse:
    """Take back what was saved between two entries, where nothing was changed since."""
    known, record = _found(kind, pk)
    then = _entry(known, pk, before)
    try:
        if version_of(record) != str(after):
            raise NotRestored(CHANGED_AFTER)
        bring_back(known, pk, then, str(after), whole=True)
    except NotRestored as error:
        messages.error(request, str(error))
    else:
        record = known.model.everything.get(pk=pk)
        paper = getattr(record, "file", "") != getattr(then, "file", "")
        messages.success(
            request,
            f"Undone: {record} is as it was before{', but for its letter or permit' if paper else ''}.",
        )
    return redirect(next_address(request, page_of_record(record)))


def page_of_record(record: Any) -> str:
    """The page that shows a record; its history where it has none."""
    if hasattr(record, "get_absolute_url"):
        return str(record.get_absolute_url())
    return history_address(record)


def _found(kind: str, pk: int) -> tuple[HistoryKind, Any]:
    known = HISTORY_KINDS.get(kind)
    record = known.model.everything.filter(pk=pk).first() if known else None
    if known is None or record is None:
        raise Http404("There is no such record.")
    if into := merged_into(record):
        raise Http404(f"It was merged into {into}: undo that on the page of {into}.")
    return known, record


def _entry(kind: HistoryKind, pk: int, entry: int) -> Any:
    found = kind.model.history.filter(id=pk, history_id=entry).first()
    if found is None:
        raise Http404("Nothing is on record of that time.")
    return found
