"""A find as it was before a row changed it, and a stamp of what it was left as: what undoing needs."""

import hashlib
import json
from collections.abc import Collection
from typing import Any

from django.db.models import Max

from catalogue.specimens.derived.batches import batches_of
from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature, Opinion, Specimen
from catalogue.specimens.reading.value import COLUMNS as READING_COLUMNS

from .row_said import RowSaid

PART_COLUMNS: dict[str, tuple[str, ...]] = {
    "inscriptions": ("where", "how", "text", "says"),
    "readings": READING_COLUMNS,
    "features": ("feature", "certainty", "note"),
}
PART_MODELS: dict[str, Any] = {
    "inscriptions": Inscription,
    "readings": MarkReading,
    "features": ObservedFeature,
}
_WHERE = ("dive_id", "site_id", "recovered_edtf")
_NAMED = {"town": "town_id", "bottler": "bottler_id", "bottler_town": "bottler_id", "product": "product_id"}


def before_of(find: Specimen, said: RowSaid) -> dict[str, Any]:
    """Columns and parts that the row is about to change, as JSON has them."""
    columns = {*said.columns, *(_WHERE if said.where else ())}
    columns |= {_NAMED[name] for name in said.names if name in _NAMED}
    columns |= {"place_id"} if "shelf" in said.names else set()
    columns |= {"shared"} if said.shared is not None else set()
    columns |= {name for name in ("standing", "stage") if getattr(said, name)}
    parts = {
        name: [{column: getattr(row, column) for column in kept} for row in getattr(find, name).all()]
        for name, kept in PART_COLUMNS.items()
        if getattr(said, name) is not None
    }
    opinions = [each.about for each in said.opinions]
    held = dict(find.opinions.filter(about__in=opinions, current=True).values_list("about", "pk"))
    return {
        "columns": {name: _plain(getattr(find, name)) for name in sorted(columns)},
        "parts": parts,
        "opinions": {about: held.get(about, 0) for about in opinions},
    }


def _plain(value: Any) -> Any:
    return value if value is None or isinstance(value, bool | int | str) else str(value)


def stamps_of(keys: Collection[int]) -> dict[int, str]:
    """A stamp of each find and all that was read on it: another one where anybody changed it since."""
    said: dict[int, list[Any]] = {key: [] for key in keys}
    for part in batches_of(list(keys)):
        entries = Specimen.history.filter(id__in=part).values("id").annotate(last=Max("history_id"))
        for entry in entries.order_by():
            said[entry["id"]].append(entry["last"])
        for name, model in PART_MODELS.items():
            rows = model._default_manager.filter(find__in=part).order_by("pk")
            for key, *values in rows.values_list("find_id", *PART_COLUMNS[name]):
                said[key].append([name, *values])
        current = Opinion.objects.filter(find__in=part, current=True).order_by("pk")
        for key, pk in current.values_list("find_id", "pk"):
            said[key].append(["opinion", pk])
    return {key: hashlib.sha256(json.dumps(told).encode()).hexdigest()[:20] for key, told in said.items()}
