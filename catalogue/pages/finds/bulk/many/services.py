"""Keeping what was typed: all rows, or none."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.specimens.models import Specimen
from catalogue.specimens.services import Parts, keep_find
from catalogue.specimens.services.towns import town_named

from .rows import ForAllForm, ManyRow


@transaction.atomic
def keep_many(rows: Sequence[ManyRow], for_all: ForAllForm) -> list[Specimen]:
    """A find of each valid row, numbered in their order."""
    every = for_all.cleaned_data
    finds = []
    for row in rows:
        data = row.cleaned_data
        reading = row.reading()
        find = Specimen(
            what=data["what"],
            kind=data["kind"],
            town=town_named(data["town"]),
            place=data["place"],
            site=every["site"],
            recovered_edtf=every["recovered"],
            stage=every["stage"],
        )
        finds.append(keep_find(find, Parts(readings=[reading] if reading else [])))
    return finds
