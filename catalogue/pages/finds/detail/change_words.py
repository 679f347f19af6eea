"""A change of a find's own fields in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models

import dating
from catalogue.specimens.models import Specimen

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
        "search_text",
    }
)
LONGEST = 120


@dataclass(frozen=True, slots=True)
class Names:
    """The rows that history names by their key alone."""

    rows: dict[type[models.Model], dict[Any, models.Model]]

    @classmethod
    def for_records(cls, records: Sequence[Any]) -> "Names":
        """Fetch every row that any of these records points to: one query for each kind."""
        wanted: dict[type[models.Model], set[Any]] = {}
        for field in shown_fields():
            if field.is_relation:
                keys = {getattr(record, field.attname) for record in records} - {None}
                if keys:
                    wanted.setdefault(field.related_model, set()).update(keys)
        return cls({model: _everything(model, keys) for model, keys in wanted.items()})

    def word(self, field: models.Field, value: Any) -> str:
        """A value of a field as a person would say it."""
        if value is None or value == "":
            return "nothing"
        if field.is_relation:
            row = self.rows.get(field.related_model, {}).get(value)
            return str(row) if row else "something since removed"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if field.choices:
            return str(dict(field.flatchoices).get(value, value))
        text = " ".join(str(value).split())
        return text if len(text) <= LONGEST else text[:LONGEST].rstrip() + "…"


def shown_fields() -> list[models.Field]:
    """The find's own fields that a person reads, in their order."""
    tracked = {field.name for field in Specimen.history.model._meta.fields}
    return [f for f in Specimen._meta.concrete_fields if f.name not in HIDDEN and f.name in tracked]


def field_changes(before: Any, after: Any, names: Names) -> list[str]:
    """Which fields differ between two records, from what to what."""
    lines = []
    for field in shown_fields():
        was, now = getattr(before, field.attname), getattr(after, field.attname)
        if was == now:
            continue
        if field.name == "binned_at":
            lines.append("Put in the bin" if now else "Taken out of the bin")
            continue
        name = field.verbose_name
        lines.append(f"{name[:1].upper()}{name[1:]}: {names.word(field, was)} → {names.word(field, now)}")
    return lines


def feature_words(feature: str) -> str:
    """The name of a feature; its key where the tables no longer have it."""
    row = dating.reference().features.get(feature)
    return row.term if row else feature


def _everything(model: type[models.Model], keys: set[Any]) -> dict[Any, models.Model]:
    return model._base_manager.in_bulk(keys)
