"""Which reading of a find is worked on beside the plate, and keeping it."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction

from catalogue.pages.finds.form.reading_form import ReadingForm, initial_of
from catalogue.pages.parts import choices
from catalogue.specimens.models import MarkReading, OwnMark, Specimen
from catalogue.specimens.services import Parts, keep_find

PREFIX = "read"
NEW = "new"
ON_THE_BASE = ("base", "heel")


class ChangedMeanwhile(Exception):
    """The reading was changed or taken out since the page was opened."""


@dataclass(frozen=True, slots=True)
class Target:
    """The reading to better, None for a new one; and the find's other readings."""

    reading: MarkReading | None
    others: tuple[MarkReading, ...]

    @property
    def key(self) -> str:
        return str(self.reading.pk) if self.reading else NEW


def target_of(find: Specimen, asked: str) -> Target:
    """The reading whose key is asked for; else the first on the base; else a new one."""
    readings = list(find.readings.all())
    reading = next((r for r in readings if str(r.pk) == asked), None)
    if reading is None and asked != NEW:
        reading = next((r for r in readings if r.where in ON_THE_BASE), None)
    return Target(reading, tuple(r for r in readings if r is not reading))


def reading_form(target: Target, data: Any = None) -> ReadingForm:
    """The form for it: one query for the symbols of one's own makers."""
    own = OwnMark.objects.filter(maker__binned_at=None).exclude(symbol="")
    symbols = choices.symbols(own.values_list("symbol", flat=True).distinct())
    initial = initial_of(target.reading) if target.reading else None
    return ReadingForm(data, prefix=PREFIX, initial=initial, symbols=symbols)


@transaction.atomic
def keep_reading(find: Specimen, typed: MarkReading, replaces: str) -> MarkReading:
    """Put the typed reading in the place of the one whose key is `replaces` ("new": beside the others).

    The find is dated anew. Raises ChangedMeanwhile, keeping nothing, where that one is there no more.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    rows = list(find.readings.all())
    if replaces == NEW:
        rows.append(typed)
    else:
        place = next((n for n, row in enumerate(rows) if str(row.pk) == replaces), None)
        if place is None:
            raise ChangedMeanwhile
        rows[place] = typed
    keep_find(find, Parts(readings=rows), fields=[])
    same = ("where", "letters", "symbol", "frame", "arrangement", *MarkReading.SIDES, "certainty")
    stored = list(find.readings.all())
    return next(r for r in reversed(stored) if all(getattr(r, f) == getattr(typed, f) for f in same))
