"""One thing seen on a find written down as evidence, and taken back: a feature, characters beside a mark."""

from collections.abc import Sequence

from django.db import transaction

import dating
from catalogue.specimens.models import MarkReading, ObservedFeature, Specimen
from catalogue.specimens.reading.value import SIDES, Reading
from dating.looknext import same_question

from .acts import ChangedSince
from .keep import Parts, ReadingGone, keep_find


class SeenAlready(ValueError):
    """The question was answered meanwhile; the message says how."""


def _locked(find: Specimen) -> Specimen:
    return Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)


@transaction.atomic
def note_feature(find: Specimen, feature: str, certainty: str) -> ObservedFeature:
    """Add one feature of the tables to what was seen on a find, and date it anew.

    Raises SeenAlready, keeping nothing, where it is on record, or another answer to the same question is.
    """
    find = _locked(find)
    rows = list(find.features.all())
    reference = dating.reference()
    answers = same_question(feature, reference)
    for row in rows:
        if row.feature in answers:
            term = reference.features[row.feature].term
            raise SeenAlready(f"Nothing was written: {term} is on record for it already.")
    keep_find(find, Parts(features=[*rows, ObservedFeature(feature=feature, certainty=certainty)]), fields=[])
    return find.features.get(feature=feature)


@transaction.atomic
def take_feature_back(find: Specimen, key: int) -> str:
    """Take out the feature with that key as it was noted; its id. Raises ChangedSince."""
    find = _locked(find)
    rows = list(find.features.all())
    gone = next((row for row in rows if row.pk == key), None)
    if gone is None:
        raise ChangedSince(f"Nothing was undone: what was seen on {find.number} was changed since.")
    keep_find(find, Parts(features=[row for row in rows if row.pk != key]), fields=[])
    return gone.feature


@transaction.atomic
def note_beside(find: Specimen, key: int, side: str, characters: str) -> tuple[MarkReading, list[str]]:
    """Write down what stands at one side of the mark reading with that key; "" is looked, nothing there.

    With no `side`, nothing stands at any side where nobody had looked. The reading as it is now, and the
    sides that were written. Raises ReadingGone where it, or that side of it, was changed meanwhile.
    """
    find = _locked(find)
    rows = list(find.readings.all())
    row = next((row for row in rows if row.pk == key), None)
    open_sides = [name for name in SIDES if row is not None and getattr(row, name) is None]
    written = [side] if side else open_sides
    if row is None or not written or not set(written) <= set(open_sides):
        raise ReadingGone
    for name in written:
        setattr(row, name, characters)
    return _kept(find, rows, row), written


@transaction.atomic
def take_beside_back(find: Specimen, key: int, sides: Sequence[str]) -> MarkReading:
    """Let nobody have looked at these sides of the reading with that key. Raises ChangedSince."""
    find = _locked(find)
    rows = list(find.readings.all())
    row = next((row for row in rows if row.pk == key), None)
    if row is None:
        raise ChangedSince(f"Nothing was undone: the mark of {find.number} was changed since.")
    for name in sides:
        setattr(row, name, None)
    return _kept(find, rows, row)


def _kept(find: Specimen, rows: list[MarkReading], changed: MarkReading) -> MarkReading:
    """Keep the readings, one of them changed; that one as it is stored now."""
    read = Reading.of_row(changed)
    keep_find(find, Parts(readings=rows), fields=[])
    return next(row for row in reversed(find.readings.all()) if Reading.of_row(row) == read)
