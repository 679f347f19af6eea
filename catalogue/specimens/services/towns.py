"""Towns, taken from the gazetteer or typed; bottlers and what they sold."""

from collections.abc import Iterable, Sequence
from itertools import chain
from typing import TypeVar

from django.db.models import QuerySet

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.merged import meant, with_merged
from catalogue.common.text import free_slug
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.embossed_place import EmbossedPlace, PlaceRegion, regions_named, ways_to_read
from catalogue.specimens.gazetteer import How, Listed, TownReading, listed_as, read_town
from catalogue.specimens.models import Bottler, Product, Town
from catalogue.specimens.place_keys import place_key
from catalogue.specimens.town_files.store import is_same_place

Row = TypeVar("Row", Bottler, Product)
NAMING = {"name", "region", "country"}
POSITION = {"latitude", "longitude"}


def town_named(text: str) -> Town | None:
    """The town that was typed, or read off the glass as it was moulded; made where it is new.

    `Portland, Me.`, `PORTLAND ME` and `Portland, ME, US` are one town, with region and position from the
    gazetteer. Where several towns fit, or a letter may have been read wrongly, none is chosen: the name is
    kept as typed, as is one that nobody lists. None for blank text. Four queries for a town that is known.
    """
    typed = " ".join(text.split())
    name, region, country = _as_parted(typed)
    if not name:
        return None
    if region and not regions_named(region):
        return _in_own_words(name, region, country)
    places = [place for place in ways_to_read(typed) if place.sure]
    reading = read_town(typed)
    by_key: dict[str, list[Town]] = {}
    for town in _with_merged().filter(key__in=[key for place in places for key in place.keys]):
        by_key.setdefault(town.key, []).append(town)
    for place in places:
        listed = reading.rows if place == reading.place and reading.how is How.AS_CUT else ()
        if own := _own(place, [town for key in place.keys for town in by_key.get(key, ())], listed):
            return _meant(own)
        if listed:
            break
    if reading.one is not None:
        return _from_gazetteer(reading.one)
    # Several of that name in one state: the state at least is sure.
    if reading.place and reading.place.regions and reading.how is How.AS_CUT:
        states = {(row.country, row.region) for row in reading.rows}
        if len(states) == 1:
            country, region = states.pop()
            return _as_typed(reading.place.name, region, country)
    sure = places[0].regions if places else ()
    if len(sure) == 1:
        return _as_typed(name, sure[0].code or sure[0].name, sure[0].country)
    return _as_typed(name if region else typed, region, country)


def _as_parted(typed: str) -> tuple[str, str, str]:
    """Name, region and country of "name", "name, region" or "name, region, country"."""
    name, region, country = (part.strip() for part in f"{typed},,".split(",")[:3])
    return name, region, country.upper() if len(country) == 2 else ""


def _in_own_words(name: str, region: str, country: str) -> Town:
    """A town in a region that no table of abbreviations has: by just these words."""
    known = _with_merged().filter(name__iexact=name, region__iexact=region)
    if country:
        known = known.filter(country=country)
    if found := known.first():
        return _meant(found)
    rows = [
        row
        for row in listed_as(EmbossedPlace(name))
        if region.casefold() in (row.region.casefold(), row.region_name.casefold())
        and country in ("", row.country)
    ]
    return _from_gazetteer(rows[0]) if len(rows) == 1 else _as_typed(name, region, country)


def _own(place: EmbossedPlace, named: Sequence[Town], listed: Sequence[Listed]) -> Town | None:
    """Of the catalogue's towns of that name the one that is meant; None where another may be meant."""
    if place.regions:
        fit = [town for town in named if _lies_in(town, place.regions)]
        return fit[0] if len(fit) == 1 else None
    bare = [town for town in named if not town.region]
    if len(bare) == 1:
        return bare[0]
    if len(named) != 1:
        return None
    there = (named[0].country, named[0].region)
    others = [row for row in listed if (row.country, row.region) != there]
    return None if others else named[0]


def _lies_in(town: Town, regions: Iterable[PlaceRegion]) -> bool:
    own = regions_named(town.region)
    if own and not town.country:
        return any(region in own for region in regions)
    return any(
        region.country == town.country and region.code == town.region or region in own for region in regions
    )


def _from_gazetteer(row: Listed) -> Town:
    """The catalogue's town of that row, made where it is new."""
    if known := town_of_row(row):
        return _meant(known)
    return Town.objects.create(
        name=row.name,
        region=region_beside(row),
        country=row.country,
        latitude=row.latitude,
        longitude=row.longitude,
        from_gazetteer=True,
        slug=free_slug(Town, row.name),
    )


def town_of_row(row: Listed) -> Town | None:
    """The catalogue's town, merged ones too, that is that listed one, however its region is written.

    One without a position is it by its words.
    """
    # A handful: towns of one name in one country.
    named = list(_with_merged().filter(key=place_key(row.name), country=row.country))
    at = (town for town in named if is_same_place(town, row))
    by_words = (
        town for town in named if town.latitude is None and (town.name, town.region) == (row.name, row.region)
    )
    return next(chain(at, by_words), None)


def region_beside(row: Listed) -> str:
    """The region as it is written beside the town: with its county, where another of that name is there."""
    taken = Town.everything.filter(name=row.name, region=row.region, country=row.country).exists()
    return f"{row.region} ({row.county or row.latitude})"[:100] if taken else row.region


def _as_typed(name: str, region: str, country: str) -> Town:
    """A town without position; what doesn't fit a column is cut."""
    name, region = name[:NAME_LENGTH], region[:100]
    known = _with_merged().filter(name__iexact=name, region__iexact=region, country=country).first()
    if known:
        return _meant(known)
    return Town.objects.create(name=name, region=region, country=country, slug=free_slug(Town, name))


def _meant(town: Town) -> Town:
    """The town itself, or the one that it was merged into."""
    return meant(town) or town


def _with_merged() -> QuerySet[Town]:
    """Towns, and those that were merged into others: whoever types their names means the others."""
    return with_merged(Town)


def _named(model: type[Row], name: str) -> list[tuple[Row, Row]]:
    """Rows that bear or bore the name, each with the one that is meant by it; those that bear it first."""
    rows = with_merged(model).filter(name__iexact=name).order_by("pk")
    found = [(row, meant(row) if row.binned_at else row) for row in rows]
    return [(row, it) for row, it in sorted(found, key=lambda each: each[0].binned_at is not None) if it]


def _named_whole(town: Town, row: Listed | None, reading: TownReading, changed: set[str]) -> set[str]:
    """Where the region was typed behind the name (`PORTLAND ME`), take name and region apart as listed.

    Returns the columns that changed by it: none where another town is that one already.
    """
    behind = reading.place is not None and place_key(reading.place.name) != place_key(town.name)
    if row is None or not behind or "name" not in changed:
        return set()
    other = town_of_row(row)
    if other is not None and other.pk != town.pk:
        return set()
    town.name, town.region, town.country = row.name, row.region, row.country
    return NAMING


def bottler_named(text: str, town: Town | None = None) -> Bottler | None:
    """The bottler of that name (in that town, or without one on record); made where it is new.

    Named without a town, it is the only one called so; of namesakes in several towns none is chosen, and one
    without a town is made, which the list of bottlers then asks about.
    """
    name = " ".join(text.split())[:200]
    if not name:
        return None
    known = [(each.town_id, bottler) for each, bottler in _named(Bottler, name)]
    here = [bottler for at, bottler in known if at == (town.pk if town else None)]
    loose = [bottler for at, bottler in known if at is None]
    only = [known[0][1]] if town is None and len({bottler.pk for _, bottler in known}) == 1 else []
    found = next(iter([*here, *loose, *only]), None)
    return found or Bottler.objects.create(name=name, town=town, slug=free_slug(Bottler, name))


def product_named(text: str, bottler: Bottler | None = None, contents: str = "") -> Product | None:
    """The product of that name; made where it is new."""
    name = " ".join(text.split())[:200]
    if not name:
        return None
    known = [(each.bottler_id, product) for each, product in _named(Product, name)]
    here = [product for of, product in known if of == (bottler.pk if bottler else None)]
    found = next(iter([*here, *(product for of, product in known if of is None)]), None)
    return found or Product.objects.create(
        name=name, bottler=bottler, contents=contents, slug=free_slug(Product, name)
    )


@refreshing()
def keep_town(town: Town, fields: Sequence[str]) -> Town:
    """Save what was changed on a town; search finds its pieces by the new name at once.

    A town that is named anew, its position not typed, takes the position of the one listed town that it is
    now; one that it had from the list for another name goes. A typed position is the owner's own.
    """
    changed = set(fields)
    if changed & POSITION and "from_gazetteer" not in changed:
        town.from_gazetteer = False
        changed.add("from_gazetteer")
    elif changed & NAMING and not changed & POSITION and (town.latitude is None or town.from_gazetteer):
        reading = read_town(str(town))
        rows = [row for row in reading.rows if town.country in ("", row.country)]
        row = rows[0] if len(rows) == 1 and reading.how is How.AS_CUT else None
        town.latitude, town.longitude = (row.latitude, row.longitude) if row else (None, None)
        town.from_gazetteer = row is not None
        changed |= _named_whole(town, row, reading, changed)
        changed |= {*POSITION, "from_gazetteer"}
    if changed:
        town.save(update_fields=list(changed))
    return town
