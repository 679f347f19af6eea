"""Optimistic lock: whether a record was changed by somebody else while its form was open.

The page carries the record's version, the latest entry in its history; saving compares the two.
"""

from collections.abc import Container, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, ClassVar, Protocol

from catalogue.common.history_hand import hand_of

MAX_DIGITS = 18


class WithHistory(Protocol):
    """A record whose changes are kept."""

    history: Any
    _meta: ClassVar[Any]


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """A change made since the form was opened: when, by whom, and which fields in words."""

    at: datetime
    by: str
    what: tuple[str, ...]


class ChangedMeanwhile(Exception):
    """Somebody else changed the record while the form was open; nothing was kept."""

    def __init__(self, meanwhile: Meanwhile) -> None:
        super().__init__()
        self.meanwhile = meanwhile


def version_of(record: WithHistory) -> str:
    """What the form carries: the latest entry in the record's history. Every kept change adds one."""
    latest = record.history.order_by("-history_id").values_list("history_id", flat=True).first()
    return str(latest or "")


def changed_since(record: WithHistory, version: str, *, derived: Container[str] = ()) -> Meanwhile | None:
    """The change made after that version, or None where there was none or the version can't be read.

    `derived`: columns that the catalogue works out itself; they are not named among what changed.
    """
    if not version.isascii() or not version.isdigit() or len(version) > MAX_DIGITS:
        return None
    entries = _but_for_bin(record.history.filter(history_id__gte=int(version)).order_by("history_id"))
    if len(entries) < 2 or entries[0].history_id != int(version):
        return None
    latest = entries[-1]
    names = latest.diff_against(entries[0], foreign_keys_are_objs=False).changed_fields
    words = tuple(str(record._meta.get_field(name).verbose_name) for name in names if name not in derived)
    by = next((e for e in reversed(entries) if e.history_user_id), None)
    who = (hand_of(by.history_change_reason) or str(by.history_user)) if by else "the catalogue"
    return Meanwhile(latest.history_date, who, words)


def _but_for_bin(entries: Iterable[Any]) -> list[Any]:
    """Entries without those that only put the record into the bin or took it out: it is as it was before."""
    left: list[Any] = []
    before: Any = None
    for entry in entries:
        moved = before is not None and binned_at_of(entry) != binned_at_of(before)
        if not moved or entry.diff_against(before, foreign_keys_are_objs=False).changed_fields:
            left.append(entry)
        before = entry
    return left


def binned_at_of(entry: Any) -> datetime | None:
    """When an entry's record was put in the bin; None of what has no bin, such as settings."""
    return getattr(entry, "binned_at", None)


def check_version(record: WithHistory, version: str, *, derived: Container[str] = ()) -> None:
    """Raise ChangedMeanwhile where the record was changed after that version."""
    meanwhile = changed_since(record, version, derived=derived)
    if meanwhile:
        raise ChangedMeanwhile(meanwhile)
