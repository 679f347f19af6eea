"""Who changed what of a find, in words: its own history and that of the rows that belong to it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.db import models
from django.utils import timezone

from catalogue.care.models import ConditionReport, Treatment
from catalogue.pages.parts.history_line import day
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)

from .change_words import Names, feature_words, field_changes

# One press of a button saves several rows within moments: they are one change.
TOGETHER = timedelta(seconds=2)
ROWS = (
    (Inscription, "Lettering"),
    (MarkReading, "Mark reading"),
    (ObservedFeature, "Seen"),
    (KnownYears, "Known years"),
    (Opinion, "Opinion"),
    (ConditionReport, "Condition report"),
    (Treatment, "Treatment"),
)
DONE = {"+": "added", "-": "removed", "~": "changed"}


@dataclass(slots=True)
class Change:
    """What was changed at one time by one hand; `moment` names it in an address."""

    at: datetime
    who: str
    lines: list[str] = field(default_factory=list)

    @property
    def moment(self) -> int:
        """Microseconds since 1970: the last row that belongs to this change."""
        return int(self.at.timestamp() * 1_000_000)


def changes_of(find: Specimen) -> list[Change]:
    """Every change, the latest first. Eight queries, and one for each kind of row that is named."""
    steps = list(_own_steps(find)) + [step for model, name in ROWS for step in _row_steps(find, model, name)]
    steps.sort(key=lambda step: step[0])
    found: list[Change] = []
    for at, who, lines in steps:
        last = found[-1] if found else None
        if last and last.who == who and at - last.at <= TOGETHER:
            last.at = at
            last.lines += [line for line in lines if line not in last.lines]
        else:
            found.append(Change(at, who, list(lines)))
    return [change for change in reversed(found) if change.lines]


def _own_steps(find: Specimen) -> Iterable[tuple[datetime, str, list[str]]]:
    records = list(
        Specimen.history.filter(id=find.pk)
        .select_related("history_user")
        .order_by("history_date", "history_id")
    )
    names = Names.for_records(records)
    before = None
    for record in records:
        lines = ["Recorded"] if before is None else field_changes(before, record, names)
        yield record.history_date, _who(record), lines
        before = record


def _row_steps(
    find: Specimen, model: type[models.Model], name: str
) -> Iterable[tuple[datetime, str, list[str]]]:
    records = (
        model.history.filter(find_id=find.pk)
        .select_related("history_user")
        .order_by("history_date", "history_id")
    )
    before: dict[int, Any] = {}
    for record in records:
        words = row_words(record.instance)
        line = f"{name} {DONE[record.history_type]}: {words}"
        known = before.get(record.id)
        if record.history_type == "~" and known and row_words(known.instance) != words:
            line = f"{name} changed: {row_words(known.instance)} → {words}"
        before[record.id] = record
        yield record.history_date, _who(record), [line]


def row_words(row: models.Model) -> str:
    """A row in a few words."""
    if isinstance(row, ObservedFeature):
        return f"{feature_words(row.feature)}, {row.get_certainty_display()}"
    if isinstance(row, Opinion):
        return f"{row}{'' if row.current else ' (an earlier one)'}"
    if isinstance(row, ConditionReport):
        return f"{row.get_grade_display()}, {day(row.on)}"
    if isinstance(row, Treatment):
        return f"{row.get_method_display()}, {day(timezone.localdate(row.begun))}"
    return str(row) or "nothing read"


def _who(record: Any) -> str:
    return "You" if record.history_user_id else "The catalogue"
