"""An earlier state of a record brought back: what it would change, what stands in its way, and doing it.

It is a change like any other: checked as a form is, kept in the history, and taken back by one more step.
"""

from dataclasses import dataclass
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, models, transaction

from catalogue.common.forms.optimistic_lock import version_of
from catalogue.sites.models import Site
from catalogue.sites.services import change_site

from .history import FieldChange, field_changes_of, named_rows
from .history_kinds import HistoryKind, screen_name, told_columns

SHOWN_BEFORE_CHANGE = "It was changed since this page was opened: look at what would change now."
IN_THE_BIN = "It is in the bin: take it out first."
OF_A_FILE = frozenset({"file", "file_came_as"})


class NotRestored(ValueError):
    """Nothing was changed; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Preview:
    """What going back to an entry would change; `left` says what does not go back, and why."""

    changes: list[FieldChange]
    columns: list[str]
    left: list[str]
    version: str


def preview_of(kind: HistoryKind, record: Any, entry: Any, *, whole: bool = False) -> Preview:
    """What would change. Two queries, and two for each kind of row that is named.

    `whole`: also what is decided and not written, as where the last save is taken back.
    """
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
    return Preview(changes, [column.name for column in going], left, version_of(record))


def restorable(kind: HistoryKind, *, whole: bool = False) -> "list[models.Field[Any, Any]]":
    """The columns that go back: what somebody wrote. None of a kind that says what was done.

    A file never does: the one from before may be gone from the disk.
    """
    if kind.stays is None:
        return []
    stays = OF_A_FILE if whole else kind.stays | OF_A_FILE
    return told_columns(kind.model, kind.derived | stays | {"binned_at"})


@transaction.atomic
def bring_back(
    kind: HistoryKind, key: int, entry: Any, version: str, *, whole: bool = False
) -> list[FieldChange]:
    """Go back to that entry; answers what it changed. Raises NotRestored, with nothing changed."""
    record = kind.model.everything.select_for_update(of=("self",)).get(pk=key)
    if record.binned_at:
        raise NotRestored(IN_THE_BIN)
    shown = preview_of(kind, record, entry, whole=whole)
    if version != shown.version:
        raise NotRestored(SHOWN_BEFORE_CHANGE)
    if not shown.columns:
        return []
    for name in shown.columns:
        column = kind.model._meta.get_field(name)
        setattr(record, column.attname, getattr(entry, column.attname))
    try:
        _check(record, shown.columns)
        with transaction.atomic():
            _save(record, shown.columns)
    except ValidationError as error:
        raise NotRestored(" ".join(_sentences(kind, error))) from None
    except IntegrityError:
        raise NotRestored("Another record has taken its name since: rename that one first.") from None
    return shown.changes


def _save(record: Any, columns: list[str]) -> None:
    if isinstance(record, Site):
        # A wreck that is noted again sets a hold again.
        change_site(record, columns)
    else:
        record.save(update_fields=columns)


def _check(record: Any, columns: list[str]) -> None:
    """Check it as its form would. Raises ValidationError."""
    others = {field.name for field in record._meta.concrete_fields} - set(columns)
    record.clean_fields(exclude=others)
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
