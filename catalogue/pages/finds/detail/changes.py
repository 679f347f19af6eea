"""Audit trail of a find in words: its own history and that of the rows that belong to it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.db import models

import dating
from catalogue.care.models import ConditionReport, Treatment
from catalogue.common.viewer_dates import day_words
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)

# Not shown: what follows from the rest, and what every save touches.
HIDDEN = frozenset(
    {
        "id",
        "created",
        "changed",
        "number",
        "number_year",
        "number_ordinal",
        "number_piece",
        "number_part",
        "maker_how",
        "maker_probability",
        "made_from",
        "made_to",
        "made_best",
        "made_edtf",
        "made_decades",
        "made_with",
        "made_in",
        "made_ruler",
        "made_first",
        "made_last",
        "made_spread",
    }
)
LONGEST_VALUE = 120


@dataclass(frozen=True, slots=True)
class Names:
    """The rows that history names by their key alone."""

    rows: dict[type[models.Model], dict[Any, models.Model]]

    @classmethod
    def for_records(cls, records: Sequence[Any]) -> "Names":
        """Fetch every row that any of these records points to: one query for each kind."""
        wanted: dict[type[models.Model], set[Any]] = {}
        for column in shown_fields():
            if column.related_model:
                keys = {getattr(record, column.attname) for record in records} - {None}
                if keys:
                    wanted.setdefault(column.related_model, set()).update(keys)
        return cls({model: _everything(model, keys) for model, keys in wanted.items()})

    def word(self, field: "models.Field[Any, Any]", value: Any) -> str:
        """A value of a field as a person would say it."""
        if value is None or value == "":
            return "nothing"
        if field.related_model:
            row = self.rows.get(field.related_model, {}).get(value)
            return str(row) if row else "something since removed"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if field.choices:
            return str(dict(field.flatchoices).get(value, value))
        text = " ".join(str(value).split())
        return text if len(text) <= LONGEST_VALUE else text[:LONGEST_VALUE].rstrip() + "…"


def shown_fields() -> "list[models.Field[Any, Any]]":
    """The find's own fields that a person reads, in their order."""
    tracked = {field.name for field in Specimen.history.model._meta.fields}
    return [f for f in Specimen._meta.concrete_fields if f.name not in HIDDEN and f.name in tracked]


def field_changes(before: Any, after: Any, names: Names) -> list[str]:
    """Which fields differ between two records, from what to what."""
    lines = []
    for column in shown_fields():
        was, now = getattr(before, column.attname), getattr(after, column.attname)
        if was == now:
            continue
        if column.name == "binned_at":
            lines.append("Put in the bin" if now else "Taken out of the bin")
            continue
        name = column.verbose_name
        lines.append(f"{name[:1].upper()}{name[1:]}: {names.word(column, was)} → {names.word(column, now)}")
    return lines


def feature_words(feature: str) -> str:
    """The name of a feature; its key where the tables no longer have it."""
    row = dating.reference().features.get(feature)
    return row.term if row else feature


def _everything(model: type[models.Model], keys: set[Any]) -> dict[Any, models.Model]:
    return model._base_manager.in_bulk(keys)


# One press of a button saves several rows within moments: they are one change.
TOGETHER = timedelta(seconds=2)
AUDITED_ROWS = (
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
    steps = list(_own_steps(find)) + [
        step for model, name in AUDITED_ROWS for step in _row_steps(find, model, name)
    ]
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


def _row_steps(find: Specimen, model: Any, name: str) -> Iterable[tuple[datetime, str, list[str]]]:
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
        return f"{row.get_grade_display()}, {day_words(row.on)}"
    if isinstance(row, Treatment):
        return f"{row.get_method_display()}, {day_words(row.begun)}"
    return str(row) or "nothing read"


def _who(record: Any) -> str:
    return "You" if record.history_user_id else "The catalogue"
