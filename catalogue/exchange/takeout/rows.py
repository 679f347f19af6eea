"""Finds as rows of plain values, whole or only what visitors may see; every format is written from these.

What is private is decided here alone: `_public` fills what visitors see, everything else stays at its empty
default unless the owner takes out the whole. So a new field is private until it is opened on purpose.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Prefetch

from catalogue.exchange.mark_cells import mark_in_cell
from catalogue.giving.told import hold_words_back
from catalogue.sites.models import Site
from catalogue.sites.queries import position_for_visitors
from catalogue.specimens.countries import country_words
from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature, Opinion, Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.reading.value import Reading
from catalogue.specimens.tables import current_reference

FINDS_A_PART = 500
JOINED = ("dive__site", "site", "town", "maker", "bottler__town", "product", "place")


@dataclass(frozen=True, slots=True)
class Lettering:
    """An inscription as read, or a maker's mark in words."""

    where: str
    text: str
    how: str = ""
    says: str = ""
    certainty: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindRow:
    """One find. Sizes in mm, g and ml, depth and uncertainty in m, positions in degrees (WGS 84)."""

    number: str
    what: str
    kind: str = ""
    contents: str = ""
    product: str = ""
    bottler: str = ""
    bottler_town: str = ""
    town: str = ""
    town_region: str = ""
    town_country: str = ""
    maker: str = ""
    maker_how: str = ""
    maker_probability: float | None = None
    made: str = ""
    made_edtf: str = ""
    made_from: int | None = None
    made_to: int | None = None
    made_best: int | None = None
    colour: str = ""
    height_mm: Decimal | None = None
    diameter_mm: Decimal | None = None
    base_mm: Decimal | None = None
    bore_mm: Decimal | None = None
    mass_g: Decimal | None = None
    capacity_ml: Decimal | None = None
    inscriptions: tuple[Lettering, ...] = ()
    readings: tuple[Lettering, ...] = ()
    story: str = ""
    free_to_take: bool = False
    site: str = ""
    water_body: str = ""
    latitude: float | None = None
    longitude: float | None = None
    uncertainty_m: int | None = None
    # From here on the owner's alone.
    features: tuple[Lettering, ...] = ()
    marks: tuple[str, ...] = ()
    opinions: tuple[str, ...] = ()
    region: str = ""
    older_numbers: str = ""
    field_tag: str = ""
    dive: str = ""
    dived_on: date | None = None
    recovered_edtf: str = ""
    where_on_site: str = ""
    depth_m: Decimal | None = None
    lie: str = ""
    found_with: str = ""
    look: str = ""
    stage: str = ""
    standing: str = ""
    shelf: str = ""
    shared: bool = False
    notes: str = ""
    created: datetime | None = None
    changed: datetime | None = None


_NAMES = tuple(each.name for each in fields(FindRow))
PUBLIC_FIELDS = frozenset(_NAMES[: _NAMES.index("features")])


def keys_of(finds: SpecimenQuerySet[Specimen], *, public: bool) -> list[int]:
    """Keys of these finds by number, the lowest first; of those that visitors see if `public`. One query."""
    seen = finds.for_visitors() if public else finds
    by_number = seen.order_by("number_year", "number_ordinal", "number_piece", "number_part")
    return list(by_number.values_list("pk", flat=True))


def rows_of(keys: Sequence[int], *, public: bool) -> Iterator[FindRow]:
    """The finds of these keys in their order, read in parts; five queries a part, and the tables' once.

    What was put in the bin, or closed to visitors, since the keys were read is left out.
    """
    terms = {} if public else {key: each.term for key, each in current_reference().features.items()}
    for begin in range(0, len(keys), FINDS_A_PART):
        part = keys[begin : begin + FINDS_A_PART]
        found = {find.pk: find for find in _read(part, public=public)}
        if public:
            hold_words_back(found.values())
        for key in part:
            if find := found.get(key):
                yield _public(find) if public else _whole(find, terms)


def _read(keys: Sequence[int], *, public: bool) -> SpecimenQuerySet[Specimen]:
    finds: SpecimenQuerySet[Specimen] = Specimen.objects.filter(pk__in=keys).select_related(*JOINED)
    read: list[str | Prefetch[Any]] = [
        Prefetch("inscriptions", Inscription.objects.all()),
        Prefetch("readings", MarkReading.objects.all()),
    ]
    if public:
        return finds.for_visitors().prefetch_related(*read)
    read += [
        Prefetch("features", ObservedFeature.objects.all()),
        Prefetch("opinions", Opinion.objects.filter(current=True).order_by("about", "pk")),
    ]
    return finds.prefetch_related(*read)


def _public(find: Specimen) -> FindRow:
    """A find whose telling words were held back."""
    return FindRow(
        **_described(find) | place_fields_for_visitors(find.where_found),
        number=find.number,
        what=find.what,
        story=find.story,
        free_to_take=find.standing == Specimen.Standing.FREE,
    )


def _whole(find: Specimen, terms: Mapping[str, str]) -> FindRow:
    """`terms`: what a feature is called, by its id."""
    return FindRow(
        **_described(find) | _place(find.where_found),
        number=find.number,
        what=find.what,
        story=find.story,
        free_to_take=find.standing == Specimen.Standing.FREE,
        features=tuple(
            Lettering(
                "",
                terms.get(each.feature, each.feature),
                says=each.note,
                certainty=each.get_certainty_display(),
            )
            for each in find.features.all()
        ),
        marks=tuple(mark_in_cell(Reading.of_row(each)) for each in find.readings.all()),
        opinions=tuple(f"{each} ({each.on.isoformat()})" for each in find.opinions.all()),
        region=country_words(find.region),
        older_numbers=find.older_numbers,
        field_tag=find.field_tag,
        dive=f"{find.dive.year}.{find.dive.ordinal}" if find.dive else "",
        dived_on=find.dive.date if find.dive else None,
        recovered_edtf=find.recovered_edtf,
        where_on_site=find.where_on_site,
        depth_m=find.depth_m,
        lie=find.get_lie_display(),
        found_with=find.found_with,
        look=find.get_look_display(),
        stage=find.get_stage_display(),
        standing=find.get_standing_display(),
        shelf=str(find.place or ""),
        shared=find.shared,
        notes=find.notes,
        created=find.created,
        changed=find.changed,
    )


def _described(find: Specimen) -> dict[str, Any]:
    """What the glass says of itself: visitors see all of it."""
    sure = find.maker_probability if find.maker else None
    return {
        "kind": find.get_kind_display(),
        "contents": find.get_contents_display(),
        "product": str(find.product or ""),
        "bottler": str(find.bottler or ""),
        "bottler_town": str(find.bottler.town or "") if find.bottler else "",
        "town": find.town.name if find.town else "",
        "town_region": find.town.region if find.town else "",
        "town_country": find.town.country if find.town else "",
        "maker": str(find.maker or ""),
        "maker_how": find.get_maker_how_display(),
        "maker_probability": None if sure is None else round(sure, 3),
        "made": find.made_words,
        "made_edtf": find.made_edtf,
        "made_from": find.made_from,
        "made_to": find.made_to,
        "made_best": find.made_best,
        "colour": find.get_colour_display(),
        **{name: getattr(find, name) for name in _NAMES if name.endswith(("_mm", "_g", "_ml"))},
        "inscriptions": tuple(
            Lettering(each.get_where_display(), each.text, each.get_how_display(), each.get_says_display())
            for each in find.inscriptions.all()
        ),
        "readings": tuple(
            Lettering(
                each.get_where_display(),
                Reading.of_row(each).in_words(),
                says="maker's mark",
                certainty=each.get_certainty_display(),
            )
            for each in find.readings.all()
        ),
    }


def _place(site: Site | None) -> dict[str, Any]:
    if site is None:
        return {}
    return {
        "site": site.name,
        "water_body": site.water_body,
        "latitude": None if site.latitude is None else float(site.latitude),
        "longitude": None if site.longitude is None else float(site.longitude),
        "uncertainty_m": site.uncertainty_m,
    }


def place_fields_for_visitors(site: Site | None) -> dict[str, Any]:
    """Only as exact as the site is shown: a hidden one gives nothing at all, not even its bay."""
    if site is None or site.show_as == Site.ShowAs.HIDDEN:
        return {}
    place = _place(site)
    if site.show_as != Site.ShowAs.EXACT:
        place["site"] = ""
    position = position_for_visitors(site)
    place["latitude"], place["longitude"], place["uncertainty_m"] = position or (None, None, None)
    return place
