"""Which reading of a find is worked on beside the plate, and its form."""

from dataclasses import dataclass
from typing import Any

from catalogue.specimens.models import MarkReading, Specimen
from catalogue.specimens.reading.form import MarkReadingForm, initial_of, offered_symbols
from catalogue.specimens.reading.value import Reading, of_rows

PREFIX = "read"
NEW_READING = "new"
ON_THE_BASE = ("base", "heel")


@dataclass(frozen=True, slots=True)
class Target:
    """The reading to better, None for a new one; and the find's other readings."""

    row: MarkReading | None
    others: tuple[Reading, ...]

    @property
    def key(self) -> str:
        return str(self.row.pk) if self.row else NEW_READING

    @property
    def reading(self) -> Reading | None:
        return Reading.of_row(self.row) if self.row else None


def target_of(find: Specimen, asked: str) -> Target:
    """The reading whose key is asked for; else the first on the base; else a new one."""
    rows = list(find.readings.all())
    row = next((r for r in rows if str(r.pk) == asked), None)
    if row is None and asked != NEW_READING:
        row = next((r for r in rows if r.where in ON_THE_BASE), None)
    return Target(row, tuple(of_rows(r for r in rows if r is not row)))


def reading_form(target: Target, data: Any = None) -> MarkReadingForm:
    """The form for it: one query for the symbols of one's own makers."""
    initial = initial_of(target.reading) if target.reading else None
    return MarkReadingForm(data, prefix=PREFIX, initial=initial, offered=offered_symbols())
