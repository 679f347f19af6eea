"""Rows that belong to a record, as they were: a find's, replaced as a whole; a maker's, each by its key.

Works, marks and codes name each other (a code holds for some of the marks): all of them go back, or none.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import models

from catalogue.common.history_entries import kept_links, links_now, links_then

from .history import (
    FieldChange,
    Names,
    changes_words,
    field_changes_of,
    link_changes,
    named_rows,
    row_words,
    value_words,
)
from .history_kinds import screen_name, told_columns
from .history_parts import HistoryPart

TOGETHER = "Works, marks and codes stay as they are; they go back only together"


def replaced_lines(part: HistoryPart, record: Any, was: list[Any]) -> list[str]:
    """Which rows of a find would be there again, and which no longer, by all that they say.

    Two rows in the same few words differ in more: what does is told then.
    """
    said = part.words or str
    columns = told_columns(part.model, frozenset({part.column, "binned_at"}))

    def says(row: Any) -> list[Any]:
        return [getattr(row, column.attname) for column in columns]

    here = list(part.model.objects.filter(**{part.column: record}).order_by("pk"))
    there = []
    for row in was:
        same = next((each for each in here if says(each) == says(row)), None)
        if same is None:
            there.append(row)
        else:
            here.remove(same)
    names = named_rows(columns, [*here, *there])
    lines = []
    for row in there:
        like = next((each for each in here if said(each) == said(row)), None)
        if like is None:
            lines.append(f"{part.name} again: {said(row)}")
        else:
            here.remove(like)
            lines.append(
                f"{part.name} {said(row)}: {changes_words(field_changes_of(columns, like, row, names))}"
            )
    return lines + [f"{part.name} no longer: {said(row)}" for row in here]


@dataclass(slots=True)
class RowsBack:
    """Of one kind: rows to be written as they were, each with what it was linked to, and rows that go.

    `stays`: rows that don't go, as they came from elsewhere; `hinders`: why none of them can go back.
    """

    was: list[tuple[Any, dict[str, tuple[int, ...]]]] = field(default_factory=list)
    gone: list[Any] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    stays: list[str] = field(default_factory=list)
    hinders: list[str] = field(default_factory=list)


def rows_back(record: Any, then: dict[HistoryPart, list[Any]]) -> dict[HistoryPart, RowsBack]:
    """What would become of the rows of each kind; nothing is written. Some queries a kind."""
    back_again = {(part.model, row.pk) for part, was in then.items() for row in was if row.binned_at is None}
    return {part: _of_kind(part, record, was, back_again) for part, was in then.items()}


def _of_kind(part: HistoryPart, record: Any, was: list[Any], back_again: set[tuple[Any, int]]) -> RowsBack:
    found = RowsBack()
    then = {row.pk: row for row in was if row.binned_at is None}
    known = part.model.everything.in_bulk(list(then))
    entries = {row.pk: row._history.history_id for row in then.values()}
    linked = links_then(part.model, list(entries.values()))
    columns = told_columns(part.model, frozenset({part.column, "binned_at"}))
    names = named_rows(columns, [*then.values(), *known.values()])
    for key, row in then.items():
        now, links = known.get(key), linked[entries[key]]
        if now is not None and (why := _not_here(part, record, now)):
            found.hinders.append(f"{part.name} {row}: {why}")
            continue
        changes = _changes(columns, now, row, links, names) if now else []
        if now is not None and not changes:
            continue
        if why := _what_is_gone(part, row, links, columns, names, back_again):
            found.hinders.append(f"{part.name} {row}: {why}")
            continue
        words = f" {row}: {changes_words(changes)}" if now else f" again: {row_words(columns, row, names)}"
        found.lines.append(f"{part.name}{words}")
        found.was.append((_as_it_was(now, row, columns), links))
    for row in part.model.objects.filter(**{part.column: record}).order_by("pk"):
        if row.pk in then:
            continue
        if _came_from_elsewhere(part, record, row):
            found.stays.append(f"{part.name} {row}: it came along when another was merged into this")
        else:
            found.lines.append(f"{part.name} no longer: {row}")
            found.gone.append(row)
    return found


def _not_here(part: HistoryPart, record: Any, now: Any) -> str:
    if getattr(now, f"{part.column}_id") != record.pk:
        return f"it belongs to {getattr(now, part.column)} by now"
    return "it is in the bin, or was merged with another" if now.binned_at else ""


def _changes(
    columns: "Sequence[models.Field[Any, Any]]", now: Any, row: Any, links: dict[str, Any], names: Names
) -> list[FieldChange]:
    changes = field_changes_of(columns, now, row, names)
    return changes + link_changes(type(now), links_now(now), links)


def _what_is_gone(
    part: HistoryPart,
    row: Any,
    links: dict[str, tuple[int, ...]],
    columns: "Sequence[models.Field[Any, Any]]",
    names: Names,
    back_again: set[tuple[Any, int]],
) -> str:
    """What the row names that is not there; without it the row would say something else."""
    for column in columns:
        key = getattr(row, column.attname)
        model = column.related_model
        if not model or key is None or (model, key) in back_again:
            continue
        named = names.get(model, {}).get(key)
        if named is None:
            return f"what stood at “{screen_name(column).lower()}” is gone for good"
        if getattr(named, "binned_at", None):
            return f"{value_words(column, key, names)} is in the bin; take that out first"
    for link in kept_links(part.model):
        other: Any = link.field.related_model
        for key in links[link.field.name]:
            if (other, key) not in back_again and not other.objects.filter(pk=key).exists():
                return f"what stood at “{screen_name(link.field).lower()}” is gone for good"
    return ""


def _as_it_was(now: Any, row: Any, columns: "Sequence[models.Field[Any, Any]]") -> Any:
    """The row as it is to be saved: the one on record with its earlier words, or the earlier one anew."""
    if now is None:
        return row
    for column in columns:
        setattr(now, column.attname, getattr(row, column.attname))
    return now


def _came_from_elsewhere(part: HistoryPart, record: Any, row: Any) -> bool:
    first = part.model.history.filter(id=row.pk).order_by("history_date", "history_id").first()
    return first is not None and getattr(first, f"{part.column}_id") != record.pk
