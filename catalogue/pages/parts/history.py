"""History of any record in words: who changed what, when, field by field; one save is one change."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.db import models

from catalogue.common.forms.optimistic_lock import binned_at_of
from catalogue.common.history_entries import hand_of, kept_links, links_then
from catalogue.common.localisation import clock_words, day_words

from .history_kinds import HistoryKind, screen_name, told_columns
from .history_parts import HistoryPart

# One press saves several rows within moments: they are one change.
ONE_PRESS = timedelta(seconds=2)
NOTHING_STOOD, LOST_SINCE = "nothing", "something since removed"
CUT_AT = 120
EPOCH = datetime.fromtimestamp(0, UTC)
DONE_TO_PART = {"+": "added", "-": "removed", "~": "changed"}


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One column: its name on the screen, what stood there and what stands there now."""

    name: str
    was: str
    now: str


@dataclass(slots=True)
class HistoryChange:
    """What was changed by one hand at one time; `entry` is the record's own latest entry in it, else 0."""

    at: datetime
    who: str
    entry: int = 0
    said: list[str] = field(default_factory=list)
    fields: list[FieldChange] = field(default_factory=list)

    @property
    def moment(self) -> int:
        """Microseconds since 1970 of the last row that belongs to it: names the state after it."""
        return moment_number(self.at)


@dataclass(frozen=True, slots=True)
class _Step:
    at: datetime
    who: str
    entry: int
    said: list[str]
    fields: list[FieldChange]


def moment_number(at: datetime) -> int:
    """Microseconds since 1970."""
    return (at - EPOCH) // timedelta(microseconds=1)


def history_changes(kind: HistoryKind, key: int) -> list[HistoryChange]:
    """Every change of a record and its parts, the latest first. Two queries, two a kind of part, and one for
    each kind of row that is named."""
    steps = [*_own(kind, key), *(step for part in kind.parts for step in _of_part(part, key))]
    steps.sort(key=lambda step: step.at)
    found: list[HistoryChange] = []
    for step in steps:
        last = found[-1] if found else None
        apart = last is None or last.who != step.who or step.at - last.at > ONE_PRESS
        if last is None or apart or (not kind.by_moment and _both_own(last, step)):
            last = HistoryChange(step.at, step.who)
            found.append(last)
        last.at, last.entry = step.at, step.entry or last.entry
        last.said += [words for words in step.said if words not in last.said]
        last.fields += step.fields
    return [change for change in reversed(found) if change.said or change.fields]


def _both_own(last: HistoryChange, step: _Step) -> bool:
    """Two saves of the record itself, though close together, are two changes where both say something."""
    return bool(last.entry and step.entry and last.fields and step.fields)


def _own(kind: HistoryKind, key: int) -> Iterator[_Step]:
    entries = list(kind.model.history.filter(id=key).order_by("history_date", "history_id"))
    columns = told_columns(kind.model, kind.derived)
    names = named_rows(columns, entries)
    before: Any = None
    for entry in entries:
        said = [_first_words(entry)] if before is None else []
        fields = [] if before is None else field_changes_of(columns, before, entry, names)
        if before is not None and binned_at_of(before) != binned_at_of(entry):
            said.append("Put in the bin" if binned_at_of(entry) else "Taken out of the bin")
        yield _Step(entry.history_date, _hand(entry), entry.history_id, said, fields)
        before = entry


def _first_words(entry: Any) -> str:
    """What the first entry tells; of a record that is older than its history, no more than is known."""
    return "Recorded" if entry.history_type == "+" else "So it stood; what was before is not on record"


def _of_part(part: HistoryPart, key: int) -> Iterator[_Step]:
    entries = list(
        part.model.history.filter(**{f"{part.column}_id": key}).order_by("history_date", "history_id")
    )
    return _in_own_words(part, entries) if part.words else _by_columns(part, entries)


def _in_own_words(part: HistoryPart, entries: Sequence[Any]) -> Iterator[_Step]:
    assert part.words
    before: dict[int, tuple[str, bool]] = {}
    for entry in entries:
        words, in_bin = part.words(entry.instance), bool(binned_at_of(entry))
        known, was_in_bin = before.get(entry.id, (words, in_bin))
        done = DONE_TO_PART[entry.history_type]
        if in_bin != was_in_bin:
            done = "put in the bin" if in_bin else "taken out of the bin"
        told = words if known == words or entry.history_type == "-" else f"{known} → {words}"
        yield _Step(entry.history_date, _hand(entry), 0, [f"{part.name} {done}: {told}"], [])
        before[entry.id] = words, in_bin


def _by_columns(part: HistoryPart, entries: Sequence[Any]) -> Iterator[_Step]:
    columns = told_columns(part.model, frozenset({part.column}))
    names = named_rows(columns, entries)
    links = links_then(part.model, [entry.history_id for entry in entries])
    before: dict[int, Any] = {}
    for entry in entries:
        known = before.get(entry.id)
        fields = field_changes_of(columns, known, entry, names) if known else []
        if known and entry.history_type != "-":
            fields += link_changes(part.model, links[known.history_id], links[entry.history_id])
        moved = known is not None and binned_at_of(known) != binned_at_of(entry)
        if entry.history_type != "~" or fields or moved:
            done = DONE_TO_PART[entry.history_type]
            if moved:
                done = "put in the bin" if binned_at_of(entry) else "taken out of the bin"
            told = changes_words(fields)
            which = f" {entry.instance}" if told and part.several else ""
            words = told or row_words(columns, entry, names)
            yield _Step(entry.history_date, _hand(entry), 0, [f"{part.name}{which} {done}: {words}"], [])
        before[entry.id] = entry


def changes_words(changes: Sequence[FieldChange]) -> str:
    """Changes of a row in one line: "to the year: 1950 → 1931, note: nothing → as read"."""
    return ", ".join(f"{each.name[:1].lower()}{each.name[1:]}: {each.was} → {each.now}" for each in changes)


def field_changes_of(
    columns: "Sequence[models.Field[Any, Any]]", was: Any, now: Any, names: "Names"
) -> list[FieldChange]:
    """The columns that differ between two entries. The bin is told apart. No query."""
    return [
        FieldChange(
            screen_name(column),
            value_words(column, getattr(was, column.attname), names),
            value_words(column, getattr(now, column.attname), names),
        )
        for column in columns
        if column.name != "binned_at" and getattr(was, column.attname) != getattr(now, column.attname)
    ]


def link_changes(model: Any, was: dict[str, Any], now: dict[str, Any]) -> list[FieldChange]:
    """The links to many that differ, in words. One query a link that differs."""
    changes = []
    for link in kept_links(model):
        before, after = was[link.field.name], now[link.field.name]
        if before != after:
            rows = link.field.related_model._base_manager.in_bulk({*before, *after})
            told = [
                ", ".join(str(rows.get(key, "one since removed")) for key in keys) for keys in (before, after)
            ]
            changes.append(FieldChange(screen_name(link.field), told[0] or "all", told[1] or "all"))
    return changes


Names = dict[type[models.Model], dict[Any, models.Model]]


def named_rows(columns: "Sequence[models.Field[Any, Any]]", entries: Iterable[Any]) -> Names:
    """The rows that entries name by their key alone: one query for each kind."""
    entries = list(entries)
    wanted: dict[type[models.Model], set[Any]] = {}
    for column in columns:
        if column.related_model:
            keys = {getattr(entry, column.attname) for entry in entries} - {None}
            if keys:
                wanted.setdefault(column.related_model, set()).update(keys)
    return {model: model._base_manager.in_bulk(keys) for model, keys in wanted.items()}


def value_words(column: "models.Field[Any, Any]", value: Any, names: Names) -> str:
    """A value as a person would say it; never a key or a column's name."""
    if value is None or value == "" or value == []:
        return NOTHING_STOOD
    if column.related_model:
        row = names.get(column.related_model, {}).get(value)
        return str(row) if row else LOST_SINCE
    if column.choices:
        return str(dict(column.flatchoices).get(value, value))
    if isinstance(column, models.FileField):
        return "a file"
    return _cut(_plain_words_of(value))


def _plain_words_of(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{day_words(value)}, {clock_words(value)}"
    if isinstance(value, date):
        return day_words(value)
    if isinstance(value, time):
        return value.isoformat("minutes")
    if isinstance(value, Decimal | float):
        return f"{value:f}".rstrip("0").rstrip(".") if "." in f"{value:f}" else f"{value:f}"
    if isinstance(value, list | tuple):
        return ", ".join(_plain_words_of(each) for each in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plain_words_of(each)}" for key, each in value.items())
    return " ".join(str(value).split())


def _cut(text: str) -> str:
    return text if len(text) <= CUT_AT else text[:CUT_AT].rstrip() + "…"


def row_words(columns: "Sequence[models.Field[Any, Any]]", entry: Any, names: Names) -> str:
    """A part in a few words, from its own entry: what is filled in."""
    told = [
        value_words(column, getattr(entry, column.attname), names)
        for column in columns
        if column.name != "binned_at"
        # What it begins with says nothing of it: no frame, letters that stand plainly.
        and getattr(entry, column.attname) not in (None, "", [], False, column.get_default())
        and not isinstance(column, models.BooleanField)
    ]
    return ", ".join(told[:5]) or "nothing in it"


def _hand(entry: Any) -> str:
    hand = hand_of(entry.history_change_reason)
    if hand:
        return hand[:1].upper() + hand[1:]
    return "You" if entry.history_user_id else "The catalogue"
