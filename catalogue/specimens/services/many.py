"""Reading, dating and writing many finds: few queries, no model's machinery for each row."""

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from functools import cache
from typing import Any

from django.db import connections, router
from django.db.models import Model, QuerySet

import dating
from catalogue.specimens.evidence import Evidence, evidence_from, only_known
from catalogue.specimens.makers_of_marks import maker_of
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)

from .redate import answer_of

# Answers kept at once: pieces that show the same get the same answer without asking again.
KEPT = 5000
# Stands for every bottler, product and works that the codes do not name; no person types it.
NOBODY = "\N{EM DASH}"
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


class Answers:
    """The dating service's answers for many finds; equal evidence is asked about once."""

    def __init__(self, reference: dating.Reference) -> None:
        self._reference = reference
        self._maker_of = cache(maker_of)
        self._known: dict[str, dict[str, Any]] = {}
        codes = reference.date_codes.values()
        self._told_apart = {
            name: {word.strip().casefold() for code in codes for word in getattr(code, name).split(";")}
            for name in ("bottler", "product", "works")
        }

    def about(self, evidence: Evidence) -> dict[str, Any]:
        """The columns in `STORED` for that evidence, the maker as its key."""
        case = self._nameless(only_known(evidence.case(), self._reference))
        opinion = evidence.maker_opinion
        key = json.dumps([case, opinion and opinion.pk])
        if key not in self._known:
            if len(self._known) >= KEPT:
                self._known.clear()
            self._known[key] = self._asked(case, opinion)
        return self._known[key]

    def _nameless(self, case: dict[str, Any]) -> dict[str, Any]:
        """The case without words that can't move the years, so that more of them are equal.

        A name that no code is bound to is as good as any other such name (yet not the same as none: with a
        bottler known, a code bound to another one is ruled out).
        """
        for name, told_apart in self._told_apart.items():
            if name in case and case[name].strip().casefold() not in told_apart | {"any"}:
                case[name] = NOBODY
        case["known"] = [row | {"what": "known", "source": ""} for row in case["known"]]
        return case

    def _asked(self, case: dict[str, Any], opinion: Maker | None) -> dict[str, Any]:
        asked = dating.Case.from_dict(case, self._reference)
        finding = dating.assess(asked, self._reference, reasons=False)
        informed = bool(case["features"] or case["marks"] or case["known"])
        answer = answer_of(finding, self._reference, opinion, informed, self._maker_of)
        maker = answer.pop("maker")
        return answer | {"maker_id": maker and maker.pk}


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
