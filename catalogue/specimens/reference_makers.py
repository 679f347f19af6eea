"""The makers of the published tables as rows, so that finds, filters and pages treat all makers alike."""

from typing import Any

from django.db import transaction

import dating
from catalogue.common.text import free_slug

from .derived.entries import entries_at_the_end
from .derived.writer import mark_stale
from .models import Maker, Specimen
from .tables import reference_key


def missing_makers() -> dict[str, dict[str, str]]:
    """Published makers that the catalogue does not have, by the key that ties them to their marks."""
    known = set(Maker.everything.published().values_list("reference_key", flat=True))
    missing: dict[str, dict[str, str]] = {}
    for mark in dating.reference().marks.values():
        key = reference_key(mark.maker, mark.place)
        if key not in known:
            missing.setdefault(key, {"name": mark.maker, "place": mark.place, "country": mark.country})
    return missing


@transaction.atomic
def bring_in_reference_makers(**_: Any) -> int:
    """Add the published makers that are missing; returns how many. Existing rows, and notes on them, stay.

    Runs after the tables are made and at every start: a new edition of the tables needs no migration.
    """
    missing = missing_makers()
    # What search reads of each is written once for all: one by one took two thirds of the time.
    with entries_at_the_end():
        for key, row in missing.items():
            Maker.everything.create(
                reference_key=key,
                name=row["name"][:200],
                place=row["place"][:200],
                country=row["country"][:2],
                slug=free_slug(Maker, row["name"]),
                source="published tables",
            )
    if missing:
        # Read before their makers were here, they could show none: stale until they are dated again.
        mark_stale(Specimen.everything.filter(maker=None, readings__isnull=False))
    return len(missing)
