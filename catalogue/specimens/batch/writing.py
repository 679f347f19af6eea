"""Bulk write: columns of many finds, with its history and all that follows from it."""

from collections.abc import Collection, Sequence

from django.utils import timezone

from catalogue.common.history_entries import note_history
from catalogue.specimens.derived.refresh import note_finds
from catalogue.specimens.derived.rules import sources_of
from catalogue.specimens.derived.writer import write_columns
from catalogue.specimens.models import Specimen


def write_column(finds: Sequence[Specimen], *columns: str) -> None:
    """Write what these finds hold in one column or some, as if each had been saved once.

    Call it inside `refreshing()`.
    """
    now = timezone.now()
    write_columns(
        [(find.pk, {**{name: getattr(find, name) for name in columns}, "changed": now}) for find in finds]
    )
    # the entry of a hand's own change comes before that of the years that follow from it
    note_history(Specimen, [find.pk for find in finds])
    for column in columns:
        note_column({find.pk for find in finds}, column)


def note_column(keys: Collection[int], column: str) -> None:
    """Have all follow that follows from that column of these finds."""
    name = Specimen._meta.get_field(column.removesuffix("_id")).name
    for source in sources_of(Specimen):
        if source.fed_by(frozenset({name})):
            note_finds(keys, source.feeds, touched=source.of_one_find)
