"""Which listed town one without a position is: candidates, the owner's choice, or none of them."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import islice

from django.db.models import Count, Q

from catalogue.common.merged import meant
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.embossed_place import regions_named
from catalogue.specimens.gazetteer import How, Listed, TownReading, read_town
from catalogue.specimens.models import Town
from catalogue.specimens.place_keys import place_key
from catalogue.specimens.town_files.store import is_same_place, lists_version

from .merging import merge_records
from .towns import keep_town, region_beside, town_of_row

# So many towns are looked up when the list of towns is opened for the first time after a start.
MOST_ASKED = 200
PLACED = ["name", "region", "country", "latitude", "longitude", "from_gazetteer"]


def candidates_for(town: Town, near: tuple[float, float] | None = None) -> list[Listed]:
    """Listed towns that a town without a position may be, the likeliest first; `near`: where its pieces lay.

    None where the owner said of these lists that it is none of them.
    """
    if town.latitude is not None or town.none_of and town.none_of == lists_version():
        return []
    return _candidates(town, near)


def _candidates(town: Town, near: tuple[float, float] | None = None) -> list[Listed]:
    reading = _reading(town, near)
    return [row for row in reading.rows if _there(town, row)]


def _reading(town: Town, near: tuple[float, float] | None = None) -> TownReading:
    reading = read_town(str(town), near)
    return reading if reading.rows else read_town(town.name, near)


def _there(town: Town, row: Listed) -> bool:
    """Whether it lies where the town is said to lie, as far as that is known."""
    if town.country not in ("", row.country):
        return False
    unknown = town.region and not regions_named(town.region)
    return not unknown or town.region.casefold() in (row.region.casefold(), row.region_name.casefold())


def pieces_of_listed(rows: Sequence[Listed]) -> dict[tuple[float, float], int]:
    """How many finds are marked for each of these listed towns already, by its place. One query."""
    if not rows:
        return {}
    known = Town.objects.filter(
        key__in={place_key(row.name) for row in rows}, latitude__isnull=False, longitude__isnull=False
    ).annotate(pieces=Count("finds", filter=Q(finds__binned_at=None)))
    towns = list(known)
    return {row.place: sum(town.pieces for town in towns if is_same_place(town, row)) for row in rows}


def open_towns(towns: Iterable[Town]) -> list[Town]:
    """Of these towns those without a position that some listed one may be, for the owner to say which."""
    version = lists_version()
    asked = (town for town in towns if town.latitude is None and town.none_of != version)
    return [
        town for town in islice(asked, MOST_ASKED) if _is_open(town.name, town.region, town.country, version)
    ]


@lru_cache(maxsize=4096)
def _is_open(name: str, region: str, country: str, version: str) -> bool:
    """Whether a town called so may be one of these lists; remembered, as looking up takes its time."""
    town = Town(name=name, region=region, country=country)
    reading = _reading(town)
    # A village that nobody lists is near to the name of some other: not asked, where no region is said.
    said = reading.how <= How.LOST or reading.place is not None and bool(reading.place.regions)
    return said and any(_there(town, row) for row in reading.rows)


@refreshing()
def settle_town(town: Town, row: Listed) -> Town:
    """The town is that listed one: it takes its name, region and position, or becomes one with the
    catalogue's town of that row. Returns the one that is left. Raises MergeError.
    """
    known = town_of_row(row)
    kept = meant(known) or known if known is not None else town
    if kept.pk != town.pk:
        merge_records(kept, town)
        return kept
    if (town.name, town.region, town.country) != (row.name, row.region, row.country):
        town.region = region_beside(row)
    town.name, town.country = row.name, row.country
    town.latitude, town.longitude, town.from_gazetteer = row.latitude, row.longitude, True
    return keep_town(town, PLACED)


def leave_open(town: Town) -> None:
    """It is none of the listed towns; asked again when the lists are others."""
    town.none_of = lists_version()
    town.save(update_fields=["none_of"])


__all__ = ["candidates_for", "leave_open", "open_towns", "pieces_of_listed", "settle_town"]
