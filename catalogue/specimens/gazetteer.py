"""Towns to choose from without the internet: which listed ones the letters on glass may mean.

Names, positions and populations: GeoNames, CC BY 4.0; ours is an extract (`reference/towns.sqlite3`).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum

from catalogue.common.positions import distance_km

from .embossed_place import EmbossedPlace, PlaceRegion, ways_to_read
from .lost_letters import LostName, has_gap, lost_name
from .near_names import likeness, near_keys, respaced_keys
from .place_keys import place_key
from .town_files.store import Listed, TownLists, town_lists

__all__ = ["Listed", "How", "TownReading", "candidates", "listed_as", "named", "read_town", "suggest"]

MOST_READ_AS = 40
# Of names with letters lost that begin alike, so many of the largest towns are looked through.
MOST_LOST = 1_000
# More letters than a column holds are no name.
LONGEST_READ = 200
# Where a piece lay tells little of where it was sold: at this distance a town weighs half of one on the spot.
HALF_WEIGHT_KM = 150.0
# A larger town is expected on more bottles: by the root of its people, of so many at least. Our own choice.
FEWEST_PEOPLE = 500
# From so many letters read on a name with one letter lost can be filed, where its region is named.
LEAST_READ_TO_FILE = 4


# So many times as many are read as are shown, as other names of large towns stand before smaller ones.
OVER_LIMIT = 8


# Countries of which every place of 500 people is listed (`tests/gazetteer/extract.py`).
LISTED_WHOLE = frozenset({"US", "CA", "GB", "IE", "AU", "NZ"})
# Elsewhere a name without its region is filed from so many people on. Our own choice.
LEAST_PEOPLE_TO_FILE = 100_000


class How(IntEnum):
    """How the letters were read as a town, the surest first."""

    AS_CUT = 0
    LOST = 1
    NEAR = 2
    TAIL = 3


@dataclass(frozen=True, slots=True)
class TownReading:
    """Listed towns that the letters may mean, the likeliest first, and the way they were read."""

    rows: tuple[Listed, ...] = ()
    how: How = How.AS_CUT
    place: EmbossedPlace | None = None
    filed: bool = False

    @property
    def one(self) -> Listed | None:
        """The town that can be filed without a question: no other listed one fits what was read."""
        return self.rows[0] if self.filed and len(self.rows) == 1 else None


NOT_LISTED = TownReading()


def read_town(text: str, near: tuple[float, float] | None = None) -> TownReading:
    """The listed towns that these letters may mean; `near`, where the piece lay, ranks those that fit alike.

    Letters as they were cut come first; only where none fits, those with letters lost, then one letter wrong
    or missing unsaid, then the last words of a longer inscription.
    """
    if not text.strip() or len(text) > LONGEST_READ:
        return NOT_LISTED
    ways = list(dict.fromkeys(ways_to_read(text)))
    with town_lists() as lists:
        sure = [way for way in ways if way.sure]
        found = (
            _exact(lists, sure, How.AS_CUT, near)
            or (_lost(lists, sure, near) if has_gap(text) else None)
            or _near_or_tail(lists, ways, near)
            or _exact(lists, [way for way in ways if not way.sure and not way.regions], How.TAIL, near)
            or _near(lists, [way for way in ways if not way.sure and way.regions], near)
        )
    return found or NOT_LISTED


def candidates(text: str, near: tuple[float, float] | None = None) -> list[Listed]:
    """Listed towns that letters on glass may mean, the likeliest first."""
    return list(read_town(text, near).rows)


def listed_as(place: EmbossedPlace) -> list[Listed]:
    """Listed towns of that name in one of its regions, the most populous first."""
    with town_lists() as lists:
        return _fitting(lists.by_keys(place.keys), place)


def named(name: str) -> list[Listed]:
    """Every listed town that is found by that name, the most populous first."""
    with town_lists() as lists:
        return lists.by_keys([place_key(name)])


def suggest(text: str, limit: int = 8) -> list[Listed]:
    """Listed towns whose name begins as typed, those of just that name first, then the most populous."""
    begin = place_key(text[:LONGEST_READ])
    if not begin:
        return []
    with town_lists() as lists:
        exact = lists.by_keys([begin])
        rest = lists.beginning(begin, OVER_LIMIT * limit + len(exact))
    # Other names of a town (San Paolo for São Paulo) after all that are called so themselves.
    rest.sort(key=lambda row: not place_key(row.name).startswith(begin))
    places = {row.place for row in exact}
    return [*exact, *(row for row in rest if row.place not in places)][:limit]


def _exact(
    lists: TownLists, ways: Sequence[EmbossedPlace], how: How, near: tuple[float, float] | None
) -> TownReading | None:
    """The first way in which the letters are a listed name, as they stand or with a space more or less."""
    for spaced in (False, True):
        keys = {way: (*(way.keys if not spaced else respaced_keys(way.key)),) for way in ways}
        rows = lists.by_keys(key for each in keys.values() for key in each)
        for way in ways if rows else ():
            if found := _fitting([row for row in rows if row.key in keys[way]], way):
                by_place = tuple(_by_place(found, near))
                return TownReading(by_place, how, way, how is How.AS_CUT and _told(way, by_place[0]))
    return None


def _told(way: EmbossedPlace, row: Listed) -> bool:
    """Whether a name tells the town: with its region; alone only of a large one, or where all are listed.

    Kamo alone is listed in Japan, as those of New Zealand's villages are not.
    """
    return bool(way.regions) or row.country in LISTED_WHOLE or row.population >= LEAST_PEOPLE_TO_FILE


def _lost(
    lists: TownLists, ways: Sequence[EmbossedPlace], near: tuple[float, float] | None
) -> TownReading | None:
    """The first way in which letters that are lost make a listed name."""
    for way in ways:
        lost = lost_name(way.name)
        if lost is None:
            continue
        keys = lost.keys
        fit = lists.by_keys(keys) if keys else lists.like(lost.pattern, MOST_LOST)
        if found := _fitting(fit, way):
            rows = _by_place(found, near)[:MOST_READ_AS]
            alone = sum(way.fits(row.country, row.region) for row in fit) == 1
            return TownReading(tuple(rows), How.LOST, way, alone and bool(way.regions) and _enough(lost))
    return None


def _enough(lost: LostName) -> bool:
    """Whether one letter is lost and the rest tells the name, as far as it is listed."""
    return lost.closed and lost.lost == 1 and lost.read >= LEAST_READ_TO_FILE


def _near_or_tail(
    lists: TownLists, ways: Sequence[EmbossedPlace], near: tuple[float, float] | None
) -> TownReading | None:
    """Names near to what was read, and the last words before a region: neither is surer than the other."""
    like = _near(lists, [way for way in ways if way.sure], near)
    tail = _exact(lists, [way for way in ways if not way.sure and way.regions], How.TAIL, near)
    if like is None or tail is None:
        return like or tail
    return TownReading(tuple(dict.fromkeys((*like.rows, *tail.rows))), How.NEAR, like.place)


def _near(
    lists: TownLists, ways: Sequence[EmbossedPlace], near: tuple[float, float] | None
) -> TownReading | None:
    """Listed names near to what was read, by how worn letters are taken for others, and by people."""
    # A whole inscription ending in a region is no name by itself, where a shorter way says so.
    parted = [way for way in ways if way.regions] or list(ways)
    keys = {way: near_keys(way.key) for way in parted}
    rows = lists.by_keys(key for each in keys.values() for key in each)
    scored: dict[Listed, float] = {}
    for way in parted:
        for row in _fitting([row for row in rows if row.key in keys[way]], way):
            score = likeness(way.key, row.key) * _weight(row, near)
            scored[row] = max(score, scored.get(row, 0.0))
    if not scored:
        return None
    best = sorted(scored, key=lambda row: -scored[row])[:MOST_READ_AS]
    return TownReading(tuple(best), How.NEAR, parted[0])


def _fitting(rows: Iterable[Listed], place: EmbossedPlace) -> list[Listed]:
    """Those in one of its regions; in its county where that is said. Their own name counts before others."""
    fit = [row for row in rows if place.fits(row.country, row.region)]
    if not place.regions:
        return fit
    in_county = [row for row in fit if any(_in_county(row, region) for region in place.regions)]
    fit = in_county or fit
    return [row for row in fit if row.key == place_key(row.name)] or fit


def _in_county(row: Listed, region: PlaceRegion) -> bool:
    county = row.county.removesuffix(" County").removeprefix("County ")
    return bool(county) and place_key(county) == place_key(region.name.removeprefix("Co "))


def _by_place(rows: Sequence[Listed], near: tuple[float, float] | None) -> list[Listed]:
    """The likeliest first: by people, and by how near it is where that is known."""
    return sorted(rows, key=lambda row: -_weight(row, near))


def _weight(row: Listed, near: tuple[float, float] | None) -> float:
    people = math.sqrt(max(row.population, FEWEST_PEOPLE))
    if near is None:
        return people
    # Near at hand the distance counts for more than people.
    return people / (1.0 + (distance_km(near, row.place) / HALF_WEIGHT_KM) ** 2)
