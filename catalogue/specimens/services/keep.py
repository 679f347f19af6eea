"""Keep a find with everything that was read on it, whole or not at all: recorded or revised from what a
person says of it, in bulk, or part by part."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from django.db import models, transaction

from catalogue.common.forms.optimistic_lock import check_version
from catalogue.common.records import hold_below
from catalogue.people.services import person_named
from catalogue.shelves.models import Place
from catalogue.shelves.services import place_named
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import log_dive, site_named
from catalogue.specimens.derived.refresh import refresh_find, refreshing
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, Move, ObservedFeature, Specimen
from catalogue.specimens.numbers import give_number, give_part, put_number
from catalogue.specimens.reading.value import COLUMNS as READING_COLUMNS
from catalogue.specimens.reading.value import Reading

from .acts import move_to
from .towns import bottler_named, product_named, town_named

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
def keep_find(
    find: Specimen,
    parts: Parts | None = None,
    *,
    fields: Sequence[str] | None = None,
    at_once: bool = True,
) -> Specimen:
    """Save a find and its parts; a new one gets its number. `fields`: what a form changed, on an old one.

    The stored window, the maker shown and the search text follow: `at_once`, or together with those of others
    at the end of the caller's `refreshing()`. Returns the find. Raises PutInBinMeanwhile where the dive, site
    or place of a new one lies in the bin.
    """
    parts = parts or Parts()
    if find.dive_id and find.site_id:
        # The dive says which site: one noted without a dive came from an earlier state of the find.
        find.site = None
        fields = None if fields is None else [*fields, "site"]
    new = find.pk is None
    if new:
        hold_below(find, *find.RESTS_ON)
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
    return refresh_find(find) if at_once else find


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


# Worked out by the catalogue itself; nobody typed them.
DERIVED = frozenset({"changed", "maker", "maker_how", "maker_probability"}) | {
    column.name for column in Specimen._meta.concrete_fields if column.name.startswith("made_")
}


@dataclass(frozen=True, slots=True)
class WhereFound:
    """Where and when it came up; keys of rows, or words for rows still to be made."""

    dive: int | None = None
    site: int | None = None
    new_site: str = ""
    day: date | None = None
    depth_m: Decimal | None = None
    buddies: tuple[str, ...] = ()
    recovered: str = ""

    @property
    def is_new_dive(self) -> bool:
        return self.day is not None


@dataclass(frozen=True, slots=True)
class PlaceSaid:
    """A place on record, or the name of one at the top; neither is no place."""

    place: Place | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class FindEntry:
    """What a person says of a find. What is left out stays as it is on record; of a new find it is blank.

    `columns`: columns of the find itself; `town`, `bottler` and `product` as typed ("" takes them away).
    """

    columns: Mapping[str, Any] = field(default_factory=dict)
    found: WhereFound | None = None
    town: str | None = None
    bottler: str | None = None
    product: str | None = None
    place: PlaceSaid | None = None
    parts: Parts = field(default_factory=Parts)


# What else is kept in the same transaction: the find's pictures.
Along = Callable[[Specimen], object]


@transaction.atomic
def record_find(entry: FindEntry, along: Along | None = None) -> Specimen:
    """Keep a new find: a new dive, site, people and place with it, and what comes `along`."""
    find = Specimen(**entry.columns)
    put_where_found(find, entry.found or WhereFound())
    name_trade(find, entry)
    find.place = place_of(entry.place) if entry.place else None
    keep_find(find, entry.parts)
    if along:
        along(find)
    return find


@transaction.atomic
def revise_find(key: int, entry: FindEntry, along: Along | None = None, *, seen: str = "") -> Specimen:
    """Change what `entry` says of a find on record, and nothing else of it.

    `seen` is the version of the find as the person last saw it. Raises ChangedMeanwhile, keeping nothing,
    where it was changed since.
    """
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=key)
    check_version(find, seen, derived=DERIVED)
    for name, value in entry.columns.items():
        setattr(find, name, value)
    fields = list(entry.columns)
    if entry.found is not None:
        put_where_found(find, entry.found)
        fields += ["dive", "site", "recovered_edtf"]
    fields += name_trade(find, entry)
    if entry.place is not None:
        move_to(find, place_of(entry.place))
    keep_find(find, entry.parts, fields=fields)
    if along:
        along(find)
    return find


def put_where_found(find: Specimen, found: WhereFound) -> None:
    """Write dive, site and time into a find, logging a new dive first.

    Raises PutInBinMeanwhile where a find on record is to get another dive or site that lies in the bin.
    """
    before = {"dive": find.dive_id, "site": find.site_id}
    find.dive = find.site = None
    find.recovered_edtf = found.recovered
    if found.dive is not None:
        find.dive = Dive.everything.select_related("site").get(pk=found.dive)
    elif found.is_new_dive and found.day:
        dive = Dive(site=site_of(found), date=found.day, depth_m=found.depth_m)
        find.dive = log_dive(dive, [person_named(name) for name in found.buddies])
    else:
        find.site = site_of(found)
    if find.pk:
        hold_below(find, *(column for column, key in before.items() if getattr(find, f"{column}_id") != key))


def site_of(found: WhereFound) -> Site | None:
    """The site that was chosen or named; one of that name is taken before a new one is made."""
    return site_named(found.new_site) if found.site is None else Site.everything.get(pk=found.site)


def name_trade(find: Specimen, entry: FindEntry) -> list[str]:
    """Write town, bottler and product as rows into a find, those that were said; the names of these."""
    if entry.town is not None:
        find.town = town_named(entry.town)
    if entry.bottler is not None:
        find.bottler = bottler_named(entry.bottler, find.town)
    if entry.product is not None:
        find.product = product_named(entry.product, find.bottler, find.contents)
    return [name for name in ("town", "bottler", "product") if getattr(entry, name) is not None]


def place_of(said: PlaceSaid) -> Place | None:
    """The place that was chosen or named; one of that name at the top is taken before a new one is made."""
    return place_named(said.name) or said.place
