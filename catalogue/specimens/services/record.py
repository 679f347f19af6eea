"""Record a find, or revise one on record, from what a person says of it: whole or not at all."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction

from catalogue.common.forms.optimistic_lock import check_version
from catalogue.people.services import person_named
from catalogue.shelves.models import Place
from catalogue.shelves.services import keep_place
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import keep_site, log_dive
from catalogue.specimens.models import Specimen

from .acts import move_to
from .keep import Parts, keep_find
from .towns import bottler_named, product_named, town_named

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
    """Write dive, site and time into a find, logging a new dive first."""
    find.dive = find.site = None
    find.recovered_edtf = found.recovered
    if found.dive is not None:
        find.dive = Dive.everything.select_related("site").get(pk=found.dive)
    elif found.is_new_dive and found.day:
        dive = Dive(site=site_of(found), date=found.day, depth_m=found.depth_m)
        find.dive = log_dive(dive, [person_named(name) for name in found.buddies])
    else:
        find.site = site_of(found)


def site_of(found: WhereFound) -> Site | None:
    """The site that was chosen or named; one of that name is taken before a new one is made."""
    if found.site is not None:
        return Site.objects.get(pk=found.site)
    name = " ".join(found.new_site.split())
    if not name:
        return None
    return Site.objects.filter(name__iexact=name).first() or keep_site(Site(name=name))


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
    name = " ".join(said.name.split())
    if not name:
        return said.place
    known = Place.objects.filter(name__iexact=name, parent=None).first()
    return known or keep_place(Place(name=name))
