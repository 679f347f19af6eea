"""Save a find with everything that was read on it, whole or not at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from django.db import models, transaction

from catalogue.shelves.models import Place
from catalogue.specimens.derived.refresh import refresh_find, refreshing
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, Move, ObservedFeature, Specimen
from catalogue.specimens.numbers import give_number, give_part, put_number
from catalogue.specimens.reading.value import COLUMNS as READING_COLUMNS
from catalogue.specimens.reading.value import Reading

from .towns import town_named

# A row that belongs to one find.
Part = TypeVar("Part", Inscription, MarkReading, ObservedFeature, KnownYears)


@dataclass(slots=True)
class Parts:
    """The rows that belong to a find. None leaves what is stored as it is; a list replaces it."""

    inscriptions: Sequence[Inscription] | None = None
    readings: Sequence[MarkReading] | None = None
    features: Sequence[ObservedFeature] | None = None
    known: Sequence[KnownYears] | None = None


@refreshing()
def keep_find(find: Specimen, parts: Parts | None = None, *, fields: Sequence[str] | None = None) -> Specimen:
    """Save a find and its parts; a new one gets its number. `fields`: what a form changed, on an old one.

    The stored window, the maker shown and the search text follow. Returns the find.
    """
    parts = parts or Parts()
    if find.dive_id and find.site_id:
        # The dive says which site: one noted without a dive came from an earlier state of the find.
        find.site = None
        fields = None if fields is None else [*fields, "site"]
    new = find.pk is None
    if new:
        put_number(find, give_number(find.dive))
        find.save()
        if find.place_id:
            Move.objects.create(find=find, to_place=find.place, why="first place")
    elif fields is None:
        find.save()
    elif fields:
        find.save(update_fields=list(fields))
    _replace(find, find.inscriptions, parts.inscriptions, ("where", "how", "text", "says"))
    _replace(find, find.readings, parts.readings, READING_COLUMNS)
    _replace(find, find.features, parts.features, ("feature", "certainty", "note"))
    _replace(
        find, find.known_years, parts.known, ("what", "from_year", "to_year", "edtf", "certainty", "source")
    )
    return refresh_find(find)


class ReadingGone(Exception):
    """The reading to be replaced was changed or taken out meanwhile."""


@transaction.atomic
def keep_reading(find: Specimen, typed: MarkReading, replaces: str | None) -> MarkReading:
    """Put the typed reading in the place of the one whose key is `replaces` (None: beside the others).

    The find is dated anew. Raises ReadingGone, keeping nothing, where that one is there no more.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    rows = list(find.readings.all())
    if replaces is None:
        rows.append(typed)
    else:
        place = next((n for n, row in enumerate(rows) if str(row.pk) == replaces), None)
        if place is None:
            raise ReadingGone
        rows[place] = typed
    keep_find(find, Parts(readings=rows), fields=[])
    read = Reading.of_row(typed)
    return next(row for row in reversed(find.readings.all()) if Reading.of_row(row) == read)


@refreshing()
def new_part(find: Specimen, what: str) -> Specimen:
    """A part of a find (its stopper) as a record of its own under the same number with a letter."""
    part = Specimen(
        what=what,
        kind=Specimen.Kind.STOPPER,
        dive=find.dive,
        site=find.site,
        recovered_edtf=find.recovered_edtf,
        place=find.place,
        stage=find.stage,
    )
    put_number(part, give_part(find))
    part.save()
    return refresh_find(part)


@dataclass(frozen=True, slots=True)
class TypedFind:
    """A find in few words: `town` as typed, made where there is none of that name."""

    what: str
    kind: str
    town: str
    place: Place | None
    reading: MarkReading | None


@transaction.atomic
def keep_many(rows: Sequence[TypedFind], **for_all: Any) -> list[Specimen]:
    """A find of each row, numbered in their order; all of them, or none. `for_all`: columns alike in all."""
    finds = []
    for row in rows:
        find = Specimen(what=row.what, kind=row.kind, town=town_named(row.town), place=row.place, **for_all)
        finds.append(keep_find(find, Parts(readings=[row.reading] if row.reading else [])))
    return finds


def _replace(
    find: Specimen, manager: models.Manager[Part], rows: Sequence[Part] | None, fields: Sequence[str]
) -> None:
    """Make the stored rows those given: equal ones stay untouched (and out of the history), others change."""
    if rows is None:
        return
    stored = list(manager.all())
    kept: set[int] = set()
    fresh = []
    for row in rows:
        same = next(
            (s for s in stored if s.pk not in kept and all(getattr(s, f) == getattr(row, f) for f in fields)),
            None,
        )
        if same is not None:
            kept.add(same.pk)
        else:
            fresh.append(row)
    # Old ones go first: a feature seen more surely now is the same feature, and it may be there only once.
    for old in stored:
        if old.pk not in kept:
            old.delete()
    for row in fresh:
        row.pk = None
        row.find = find
        row.save()
