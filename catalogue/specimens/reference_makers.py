"""The makers of the published tables as rows, so that finds, filters and pages treat all makers alike."""

from typing import Any

from django.db import transaction

import dating
from catalogue.common.text import free_slug

from .makers_of_marks import reference_key
from .models import Maker


@transaction.atomic
def bring_in_reference_makers(**_: Any) -> int:
    """Add the published makers that are missing; returns how many. Existing rows, and notes on them, stay."""
    known = set(Maker.everything.published().values_list("reference_key", flat=True))
    spans: dict[str, dict[str, Any]] = {}
    for mark in dating.reference().marks.values():
        key = reference_key(mark.maker, mark.place)
        if key in known:
            continue
        spans.setdefault(key, {"name": mark.maker, "place": mark.place, "country": mark.country})
    for key, row in spans.items():
        Maker.everything.create(
            reference_key=key,
            name=row["name"][:200],
            place=row["place"][:200],
            country=row["country"][:2],
            slug=free_slug(Maker, row["name"]),
            source="published tables",
        )
    return len(spans)
