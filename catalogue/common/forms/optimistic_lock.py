"""Optimistic lock: whether a record was changed by somebody else while its form was open.

The page carries the record's version, the latest entry in its history; saving compares the two. Field by
field a form carries a digest of each value that it showed: compared with what is stored and with what was
sent, it tells for each whether somebody changed it meanwhile and whether this person did. That needs no
history, and covers what is no column (buddies by name).
"""

import base64
import hashlib
from collections.abc import Container, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, ClassVar, Final, Protocol, cast

from django import forms
from django.http import QueryDict

from catalogue.common.history_entries import hand_of

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


DIGEST_BYTES: Final = 6


def digests_shown(form: forms.BaseForm) -> str:
    """What the page carries: name and digest of every field as stored now."""
    pairs = ((name, _digest(stored_text(form, name))) for name in form.fields if _compares(form, name))
    return ",".join(f"{name}:{digest}" for name, digest in pairs)


def changed_by_others(form: forms.BaseForm, version: str) -> tuple[set[str], set[str]]:
    """Names of the fields stored otherwise than this form showed them: untouched here, and typed here too.

    What is typed here just as it is stored now counts as neither. A version that can't be read names none.
    """
    shown = dict(pair.split(":", 1) for pair in version.split(",") if ":" in pair)
    untouched, both = set(), set()
    for name in form.fields:
        if name not in shown or not _compares(form, name):
            continue
        now, sent = _digest(stored_text(form, name)), _digest(_sent_text(form, name))
        if shown[name] not in (now, sent):
            both |= {name} if sent != now else set()
        elif now != shown[name]:
            untouched.add(name)
    return untouched, both


def stored_text(form: forms.BaseForm, name: str) -> str:
    """A field's stored value as a page shows it."""
    field = form.fields[name]
    return _text(field, field.prepare_value(form[name].initial))


def with_stored(form: forms.BaseForm, names: set[str]) -> QueryDict:
    """The form's data with the stored value in each of these fields."""
    data = cast(QueryDict, form.data).copy()
    for name in names:
        field, bound = form.fields[name], form[name]
        value = field.prepare_value(bound.initial)
        if isinstance(field.widget, forms.CheckboxInput):
            values = ["on"] if value else []
        else:
            shown = field.widget.format_value(value)
            values = shown if isinstance(shown, list) else [shown or ""]
        data.setlist(bound.html_name, values)
        if not values:
            del data[bound.html_name]
    return data


class WrittenMeanwhile(Exception):
    """Another page wrote into the same box; the sentence holds what stands there and what was typed here."""


def typed_beside(sent: QueryDict, name: str, stored: str) -> str | None:
    """What this page changed in a box that is no form field; None where it left it as it was shown.

    Beside the box goes what it was shown with, `was-` and its name. Raises WrittenMeanwhile.
    """
    if name not in sent:
        return None
    typed, was = (" ".join(sent.get(key, stored).splitlines()).strip() for key in (name, f"was-{name}"))
    now = " ".join(stored.splitlines()).strip()
    if typed in (was, now) and f"was-{name}" in sent:
        return None
    if was != now:
        raise WrittenMeanwhile(f"Another page wrote “{now or 'nothing'}” meanwhile. Yours was “{typed}”.")
    return str(sent[name]).strip()


def _compares(form: forms.BaseForm, name: str) -> bool:
    field = form.fields[name]
    return not (
        field.disabled or isinstance(field, forms.FileField) or isinstance(field.widget, forms.MultiWidget)
    )


def _sent_text(form: forms.BaseForm, name: str) -> str:
    return _text(form.fields[name], form[name].data)


def _text(field: forms.Field, value: Any) -> str:
    if isinstance(field.widget, forms.CheckboxInput):
        return "on" if value else ""
    shown = field.widget.format_value(value)
    lines = shown if isinstance(shown, list | tuple) else ["" if shown is None else shown]
    # Browsers send line ends of their own.
    return "\n".join(str(line) for line in lines).replace("\r\n", "\n").strip()


def _digest(text: str) -> str:
    found = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=DIGEST_BYTES).digest()
    return base64.urlsafe_b64encode(found).decode()
