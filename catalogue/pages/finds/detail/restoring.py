"""Reverting a find's description to an earlier version, and the pages of its audit trail."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.contrib import messages
from django.db import models, transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, ObservedFeature, Specimen
from catalogue.specimens.services import Parts, keep_find

from .changes import Names, changes_of, field_changes, row_words, shown_fields

# What was found out about a piece goes back; where it stands, whose it is now and who may see it do not.
STAYS = frozenset({"standing", "stage", "place", "twin_group", "shared", "binned_at", "maker", "made_words"})
RESTORED_PARTS = (
    ("inscriptions", Inscription, "Lettering"),
    ("readings", MarkReading, "Mark reading"),
    ("features", ObservedFeature, "Seen"),
    ("known", KnownYears, "Known years"),
)


@dataclass(slots=True)
class Earlier:
    """A find as it was at a moment: its columns, and the rows that belonged to it."""

    record: Any
    rows: dict[str, list[models.Model]]


def moment_from(stamp: int) -> datetime:
    """The time that a change is named by. Raises ValueError or OverflowError for one that is no time."""
    return datetime.fromtimestamp(0, UTC) + timedelta(microseconds=stamp)


def earlier(find: Specimen, moment: datetime) -> Earlier | None:
    """The find as it was just after that moment; None before it was recorded. Five queries."""
    record = (
        Specimen.history.filter(id=find.pk, history_date__lte=moment)
        .order_by("-history_date", "-history_id")
        .first()
    )
    if record is None:
        return None
    rows = {
        name: list(model.history.as_of(moment).filter(find_id=find.pk).order_by("pk"))
        for name, model, _ in RESTORED_PARTS
    }
    return Earlier(record, rows)


def would_change(find: Specimen, then: Earlier) -> list[str]:
    """What going back would change, in words; empty where nothing differs."""
    now = Specimen.history.model(**{f.attname: getattr(find, f.attname) for f in restored_fields()})
    was = Specimen.history.model(**{f.attname: getattr(then.record, f.attname) for f in restored_fields()})
    lines = field_changes(now, was, Names.for_records([now, was]))
    for name, _, title in RESTORED_PARTS:
        here = [row_words(row) for row in _rows_now(find, name)]
        there = [row_words(row) for row in then.rows[name]]
        lines += [f"{title} again: {words}" for words in there if words not in here]
        lines += [f"{title} no longer: {words}" for words in here if words not in there]
    return lines


@transaction.atomic
def restore(find: Specimen, then: Earlier) -> Specimen:
    """Bring the description back; the history keeps this change like any other, so it too can be undone."""
    fresh = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    changed = []
    for field in restored_fields():
        value = getattr(then.record, field.attname)
        if field.related_model and value and not field.related_model._base_manager.filter(pk=value).exists():
            # what it pointed to has since been removed for good
            value = None
        if getattr(fresh, field.attname) != value:
            setattr(fresh, field.attname, value)
            changed.append(field.name)
    rows: dict[str, Any] = then.rows
    return keep_find(fresh, Parts(**rows), fields=changed)


def restored_fields() -> "list[models.Field[Any, Any]]":
    """The columns that go back."""
    return [field for field in shown_fields() if field.name not in STAYS]


def _rows_now(find: Specimen, name: str) -> list[models.Model]:
    manager = {"known": "known_years"}.get(name, name)
    return list(getattr(find, manager).all())


@require_safe
def changes(request: HttpRequest, number: str) -> HttpResponse:
    """Who changed what, the latest first."""
    find = plain_find(number)
    return render(request, "pages/finds/detail/changes.html", {"find": find, "changes": changes_of(find)})


@GET_OR_POST
@kept_once
def go_back(request: HttpRequest, number: str, stamp: int) -> HttpResponse:
    """What going back to that moment would change; on confirmation, do it."""
    find = plain_find(number)
    try:
        moment = moment_from(stamp)
        then = earlier(find, moment)
    except (ValueError, OverflowError):
        then = None
    if then is None:
        raise Http404("Nothing is on record of that time.")
    lines = would_change(find, then)
    if request.method == "POST":
        if lines:
            restore(find, then)
            messages.success(request, "Its description is back as it was. This too can be undone.")
        else:
            messages.info(request, "Nothing differs from how it was then.")
        return redirect(find)
    return render(
        request, "pages/finds/detail/go_back.html", {"find": find, "moment": moment, "lines": lines}
    )
