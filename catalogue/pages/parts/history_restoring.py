"""An earlier state of a record brought back: what it would change, what stands in its way, and doing it.

It is a change like any other: checked as a form is, kept in the history, and taken back by one more step.
"""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, models, transaction

import dating
from catalogue.common.forms.optimistic_lock import binned_at_of, version_of
from catalogue.common.records import Record
from catalogue.sites.models import Site
from catalogue.sites.services import change_site
from catalogue.specimens.models import Maker, OwnCode, OwnMark, Specimen
from catalogue.specimens.services import Parts, keep_find
from catalogue.specimens.services.makers import keep_maker

from .history import FieldChange, field_changes_of, moment_number, named_rows
from .history_kinds import HistoryKind, history_kind_of, screen_name, told_columns
from .history_parts import HistoryPart
from .history_rows import TOGETHER, RowsBack, replaced_lines, rows_back
from .years_changed import phrases

SHOWN_BEFORE_CHANGE = "It was changed since this page was opened: look at what would change now."
IN_THE_BIN = "It is in the bin: take it out first."
OF_A_FILE = frozenset({"file", "file_came_as"})


class NotRestored(ValueError):
    """Nothing was changed; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class EarlierState:
    """A record as it was: when, its entry of then, and by their part the rows of it that go back."""

    at: datetime
    entry: Any
    rows: dict[HistoryPart, list[models.Model]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Preview:
    """What going back to a state would change; `left` says what does not go back, and why."""

    changes: list[FieldChange]
    columns: list[str]
    rows: list[str]
    left: list[str]
    version: str
    # Rows of a maker, by their kind; what followed from it, in a sentence.
    back: dict[HistoryPart, RowsBack] = field(default_factory=dict)
    follows: str = ""

    @property
    def differs(self) -> bool:
        """Whether anything would change."""
        return bool(self.changes or self.rows)


def state_version(record: Any) -> str:
    """What a form or a notice carries: which state of a record it was made for.

    The latest entry in its history; where rows that belong to it go back with it, the moment of the latest
    change of any of these.
    """
    kind = history_kind_of(record)
    if kind is None or not kind.by_moment:
        return version_of(record)
    own = kind.model.history.filter(id=record.pk)
    of_parts = (
        part.model.history.filter(**{f"{part.column}_id": record.pk}) for part in kind.parts if part.goes_back
    )
    latest = [entries.aggregate(at=models.Max("history_date"))["at"] for entries in (own, *of_parts)]
    return str(max((moment_number(at) for at in latest if at), default=""))


def state_at(kind: HistoryKind, key: int, stamp: int) -> EarlierState | None:
    """The state that a number names: an entry of the record, or a moment; None where nothing is known."""
    if not kind.by_moment:
        entry = kind.model.history.filter(id=key, history_id=stamp).first()
        return EarlierState(entry.history_date, entry) if entry else None
    try:
        moment = datetime.fromtimestamp(0, UTC) + timedelta(microseconds=stamp)
    except OverflowError:
        return None
    entries = kind.model.history.filter(id=key, history_date__lte=moment)
    entry = entries.order_by("-history_date", "-history_id").first()
    if entry is None:
        return None
    rows = {
        part: list(part.model.history.as_of(moment).filter(**{f"{part.column}_id": key}).order_by("pk"))
        for part in kind.parts
        if part.goes_back
    }
    return EarlierState(moment, entry, rows)


def preview_of(kind: HistoryKind, record: Any, then: EarlierState, *, whole: bool = False) -> Preview:
    """What would change. Two queries, and two for each kind of row that is named.

    `whole`: also what is decided and not written, as where the last save is taken back.
    """
    entry = then.entry
    columns = restorable(kind, whole=whole)
    differing = [each for each in columns if getattr(record, each.attname) != getattr(entry, each.attname)]
    names = named_rows(differing, [record, entry])
    left, going = [], []
    for column in differing:
        why = _why_it_stays(column, getattr(entry, column.attname), names)
        if why:
            left.append(f"{screen_name(column)}: {why}")
        else:
            going.append(column)
    changes = field_changes_of(going, record, entry, names)
    names_of = [column.name for column in going]
    version = state_version(record)
    if isinstance(record, Specimen):
        rows = [line for part, was in then.rows.items() for line in replaced_lines(part, record, was)]
        return Preview(changes, names_of, rows, left, version)
    back = rows_back(record, then.rows)
    left += [line for each in back.values() for line in each.stays]
    if hinders := [line for each in back.values() for line in each.hinders]:
        left += [TOGETHER, *hinders]
        back = {}
    rows = [line for each in back.values() for line in each.lines]
    return Preview(changes, names_of, rows, left, version, back)


def restorable(kind: HistoryKind, *, whole: bool = False) -> "list[models.Field[Any, Any]]":
    """The columns that go back: what somebody wrote. None of a kind that says what was done.

    A file never does: the one from before may be gone from the disk.
    """
    if kind.stays is None:
        return []
    stays = kind.acts if whole else kind.stays
    return told_columns(kind.model, kind.derived | kind.follows | stays | OF_A_FILE | {"binned_at"})


def stays_otherwise(kind: HistoryKind, record: Any, then: EarlierState) -> list[str]:
    """What Undo left as it is although it was otherwise then: what acts of their own write."""
    return [
        screen_name(column).lower()
        for column in told_columns(kind.model, kind.derived)
        if column.name in kind.acts and getattr(record, column.attname) != getattr(then.entry, column.attname)
    ]


@transaction.atomic
def bring_back(
    kind: HistoryKind, key: int, then: EarlierState, version: str, *, whole: bool = False
) -> Preview:
    """Go back to that state; answers what it changed. Raises NotRestored, with nothing changed."""
    record = kind.rows.select_for_update(of=("self",)).get(pk=key)
    if binned_at_of(record):
        raise NotRestored(IN_THE_BIN)
    shown = preview_of(kind, record, then, whole=whole)
    if version != shown.version:
        raise NotRestored(SHOWN_BEFORE_CHANGE)
    if not shown.differs:
        return shown
    namesake = record.namesake() if isinstance(record, Record) else None
    for name in shown.columns:
        column = kind.model._meta.get_field(name)
        setattr(record, column.attname, getattr(then.entry, column.attname))
    try:
        _check(record, shown.columns, namesake)
        with transaction.atomic():
            follows = _save(record, shown, then)
    except dating.ReferenceError as error:
        raise NotRestored(f"A mark or code of then can't join the tables: {error.message}.") from None
    except ValidationError as error:
        raise NotRestored(" ".join(_sentences(kind, error))) from None
    except IntegrityError:
        raise NotRestored("Another record has taken its name since: rename that one first.") from None
    return replace(shown, follows=follows)


def _save(record: Any, shown: Preview, then: EarlierState) -> str:
    """Save it as its form would; what followed from it, in a sentence."""
    columns = shown.columns
    if isinstance(record, Site):
        # A wreck that is noted again sets a hold again.
        change_site(record, columns)
    elif isinstance(record, Specimen):
        rows: dict[str, Any] = {part.goes_back: was for part, was in then.rows.items()}
        keep_find(record, Parts(**rows), fields=columns)
    elif isinstance(record, Maker):
        return phrases(_save_maker(record, columns, shown.back))
    else:
        record.save(update_fields=columns)
    return ""


def _save_maker(maker: Maker, columns: list[str], back: dict[HistoryPart, RowsBack]) -> int:
    """How many finds are dated otherwise by it."""
    rows: dict[str, Any] = {part.goes_back: [row for row, _ in each.was] for part, each in back.items()}
    only = [
        # Asked only once the marks are there again.
        (row, OwnMark.everything.filter(pk__in=links["marks"]))
        for each in back.values()
        for row, links in each.was
        if isinstance(row, OwnCode)
    ]
    gone = [row for each in back.values() for row in each.gone]
    return keep_maker(maker, gone=gone, only_marks=only, fields=columns, **rows).rephrased


def _check(record: Any, columns: list[str], namesake: Record | None) -> None:
    """Check it as its form would. Raises ValidationError. `namesake`: one that bears its name already."""
    others = {field.name for field in record._meta.concrete_fields} - set(columns)
    record.clean_fields(exclude=others)
    if isinstance(record, Record) and (why := record.why_not_back(namesake)):
        raise ValidationError(why)
    # The bin is a condition of most: it is left out of none.
    record.validate_constraints()
    for name in columns:
        column = record._meta.get_field(name)
        if column.related_model is type(record):
            _check_no_ring(record, name)


def _check_no_ring(record: Any, name: str) -> None:
    above, seen = getattr(record, name), {record.pk}
    while above is not None:
        if above.pk in seen:
            raise ValidationError(
                {name: f"{above} is within it by now: going back would make a ring. Change that first."}
            )
        seen.add(above.pk)
        above = getattr(above, name)


def _sentences(kind: HistoryKind, error: ValidationError) -> list[str]:
    if not hasattr(error, "error_dict"):
        return error.messages
    told = []
    for name, messages in error.message_dict.items():
        own = "" if name == NON_FIELD_ERRORS else f"{screen_name(kind.model._meta.get_field(name))}: "
        told += [f"{own}{message}" for message in messages]
    return told


def _why_it_stays(column: "models.Field[Any, Any]", value: Any, names: Any) -> str:
    """Why a link can't go back; empty where it can."""
    if value is None or not column.related_model:
        return ""
    row = names.get(column.related_model, {}).get(value)
    if row is None:
        return "what stood there is gone for good; it stays as it is now"
    if getattr(row, "binned_at", None):
        return f"{row} is in the bin; take that out first, or it stays as it is now"
    return ""
