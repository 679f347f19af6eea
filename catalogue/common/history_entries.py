"""Entries of a history: which browser or phone wrote each, links kept beside it, many rows at once.

The history's own table knows one owner; the same person at the machine and on a phone are told apart by words
kept with the reason of an entry. What was written at the machine itself has no such words. Links of a table
between two are kept beside the entries: for which marks a code holds. Of many rows an entry of each, as it
stands in the store, is written in one statement: the history's own bulk writer wants every row loaded whole,
and sends a thousand values a statement.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import connections, models, router
from django.db.models import Model
from django.utils import timezone
from simple_history.models import HistoricalRecords

_WRITTEN_ON = "\nwritten on "
_LONGEST = 60


def hand_now() -> str:
    """What the browser of this request is called; empty at the machine itself, and without a request."""
    request = getattr(HistoricalRecords.context, "request", None)
    return str(getattr(request, "hand", ""))[:_LONGEST]


def with_hand(reason: str | None, hand: str) -> str | None:
    """What an entry keeps."""
    return f"{reason or ''}{_WRITTEN_ON}{hand}" if hand else reason


def reason_of(entry_reason: str | None) -> str:
    """Why it was written, of what an entry keeps."""
    return (entry_reason or "").partition(_WRITTEN_ON)[0]


def hand_of(entry_reason: str | None) -> str:
    """What wrote it, of what an entry keeps; empty where nothing is noted."""
    return (entry_reason or "").partition(_WRITTEN_ON)[2]


def note_hand(history_instance: Any, **about: Any) -> None:
    """Receiver of `pre_create_historical_record`: note what writes."""
    history_instance.history_change_reason = with_hand(history_instance.history_change_reason, hand_now())


# By the name of a link: keys of the rows that it leads to.
Links = Mapping[str, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class KeptLink:
    """A link of a model to many: its field, the model of its kept rows, table between and two ends."""

    field: "models.ManyToManyField[Any, Any]"
    rows: Any
    between: Any
    near: str
    far: str


def kept_links(model: Any) -> list[KeptLink]:
    """The links to many that the history of a model keeps."""
    kept = model.history.model
    return [
        KeptLink(
            field,
            getattr(kept, field.name).model,
            field.remote_field.through,
            f"{field.m2m_field_name()}_id",
            f"{field.m2m_reverse_field_name()}_id",
        )
        for field in kept._history_m2m_fields
    ]


def links_then(model: Any, entries: Sequence[int]) -> dict[int, dict[str, tuple[int, ...]]]:
    """By entry of the history what its record was linked to then. One query a link."""
    links = kept_links(model)
    found: dict[int, dict[str, tuple[int, ...]]] = {
        entry: {link.field.name: () for link in links} for entry in entries
    }
    for link in links:
        rows = link.rows.objects.filter(history_id__in=entries).order_by(
            models.F(link.far).asc(nulls_last=True)
        )
        for entry, key in rows.values_list("history_id", link.far):
            found[entry][link.field.name] += (key,)
    return found


def links_now(record: models.Model) -> dict[str, tuple[int, ...]]:
    """What a record is linked to now. One query a link."""
    return {
        link.field.name: tuple(getattr(record, link.field.name).order_by("pk").values_list("pk", flat=True))
        for link in kept_links(type(record))
    }


def note_links(model: Any, keys: Collection[int], at: Any) -> None:
    """Keep beside the entries that were written of these rows at that moment what each is linked to.

    No query where nothing of the model is linked; else two, and one more a link.
    """
    links = kept_links(model)
    if not links:
        return
    kept = model.history.model._base_manager.filter(id__in=keys, history_date=at)
    entries = dict(kept.values_list("id", "history_id"))
    for link in links:
        between = link.between._base_manager.filter(**{f"{link.near}__in": keys})
        link.rows.objects.bulk_create(
            link.rows(history_id=entries[row[link.near]], **row)
            for row in between.order_by("pk").values("id", link.near, link.far)
        )


CREATED_MARK, CHANGED_MARK = "+", "~"


def note_history(model: type[Model], keys: Collection[int], *, mark: str = CHANGED_MARK) -> None:
    """An entry for each of these rows: changed (or made), now, by whoever this request is of. One query.

    What its rows are linked to by a table between is kept too, where their history keeps that.
    """
    if not keys:
        return
    kept: Any = model._default_manager.model.history.model  # type: ignore[attr-defined]
    store = connections[router.db_for_write(kept)]
    quote = store.ops.quote_name
    columns = ", ".join(quote(str(field.column)) for field in kept.tracked_fields)
    user, now = kept.get_default_history_user(model()), timezone.now()
    own = {
        "history_date": kept._meta.get_field("history_date").get_db_prep_save(now, store),
        "history_change_reason": with_hand(None, hand_now()),
        "history_type": mark,
        "history_user": user.pk if user else None,
    }
    named = ", ".join(quote(kept._meta.get_field(name).column) for name in own)
    table, key = quote(model._meta.db_table), quote(str(model._meta.pk.column))
    marks, wanted = ", ".join(["%s"] * len(own)), ", ".join(["%s"] * len(keys))
    with store.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {quote(kept._meta.db_table)} ({columns}, {named}) "
            f"SELECT {columns}, {marks} FROM {table} WHERE {key} IN ({wanted}) ORDER BY {key}",
            [*own.values(), *keys],
        )
    note_links(model, keys, now)
