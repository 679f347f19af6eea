"""Links of a table between two, which the history keeps beside its entries: for which marks a code holds."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models

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
