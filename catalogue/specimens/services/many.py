"""Reading and writing many finds: few queries, no model's machinery for each row."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.db import connections, router
from django.db.models import Model, QuerySet

from catalogue.specimens.evidence import Evidence, evidence_from
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)

# Not read: times of change cost more to read than all that the dating asks for.
TIMES = ("created", "changed", "binned_at")
SIZES = ("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml", "depth_m")
MEASURED = ("dive__start", "dive__depth_m", "dive__visibility_m", "dive__water_c")
LONG = ("notes", "story", "search_text")


def evidence_of_many(keys: Collection[int]) -> list[Evidence]:
    """The stored evidence of finds, the bin included. Six queries, however many."""
    joined = [f"{table}__{name}" for table in ("dive", "bottler", "product") for name in (*TIMES, "notes")]
    finds = (
        Specimen.everything.filter(pk__in=keys)
        .select_related("dive", "bottler", "product")
        .defer(*TIMES, *SIZES, *LONG, *joined, *MEASURED)
        .order_by("pk")
    )
    readings, features, inscriptions, known = (
        _by_find(model.objects.defer(*TIMES), keys)
        for model in (MarkReading, ObservedFeature, Inscription, KnownYears)
    )
    opinions = _by_find(Opinion.objects.filter(current=True).select_related("maker"), keys)
    return [
        evidence_from(
            find,
            readings=readings.get(find.pk, ()),
            features=features.get(find.pk, ()),
            inscriptions=inscriptions.get(find.pk, ()),
            known=known.get(find.pk, ()),
            opinions=opinions.get(find.pk, ()),
        )
        for find in finds
    ]


def write_columns(rows: Iterable[tuple[int, Mapping[str, Any]]]) -> None:
    """Write the same columns of many finds, each its own values, past the history: nobody changed them."""
    rows = list(rows)
    if not rows:
        return
    store = connections[router.db_for_write(Specimen)]
    fields = {name: Specimen._meta.get_field(name) for name in rows[0][1]}
    quote = store.ops.quote_name
    columns = ", ".join(f"{quote(field.column)} = %s" for field in fields.values())
    table, key = quote(Specimen._meta.db_table), quote(Specimen._meta.pk.column)
    values = [
        [*(field.get_db_prep_save(row[name], store) for name, field in fields.items()), pk]
        for pk, row in rows
    ]
    with store.cursor() as cursor:
        cursor.executemany(f"UPDATE {table} SET {columns} WHERE {key} = %s", values)


def _by_find(rows: QuerySet, keys: Collection[int]) -> dict[int, list[Model]]:
    found: dict[int, list[Model]] = defaultdict(list)
    for row in rows.filter(find__in=keys):
        found[row.find_id].append(row)
    return found
