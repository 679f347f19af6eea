"""Optimistic lock, field by field: a form carries a digest of each value that it showed.

Compared with what is stored and with what was sent, it tells for each field whether somebody changed it
meanwhile and whether this person did. It needs no history, and covers what is no column (buddies by name).
"""

import base64
import hashlib
from typing import Any, Final, cast

from django import forms
from django.http import QueryDict

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
