"""Where dusting or a look at the light is due, for Home and for Shelves."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from catalogue.common.localisation import day_words
from catalogue.common.text import isolated
from catalogue.shelves.models import Place, Upkeep
from catalogue.shelves.tree import PlaceTree, place_tree
from catalogue.shelves.upkeep import UpkeepState, due_now, last_done
from catalogue.specimens.queries import pieces_by_place

TO_DO = {Upkeep.What.DUSTED: "Dust", Upkeep.What.LIGHT: "Look at the light in"}


@dataclass(frozen=True, slots=True)
class DueUpkeep:
    """What is to be done where, in words."""

    state: UpkeepState
    words: str


def due_upkeep(tree: PlaceTree, counts: Mapping[int, int], today: date) -> list[DueUpkeep]:
    """What is due now, dusting first. One query; none where no place has an interval."""
    if not any(place.dust_months or place.light_months for place in tree.place.values()):
        return []
    done = last_done()
    return [
        DueUpkeep(state, due_words(state))
        for what in Upkeep.What
        for state in due_now(tree, what, done, today, counts)
    ]


def due_upkeep_now(today: date) -> list[DueUpkeep]:
    """The same, asked for afresh: one query where no place has an interval, else four."""
    if not Place.objects.filter(Q(dust_months__isnull=False) | Q(light_months__isnull=False)).exists():
        return []
    return due_upkeep(place_tree(), pieces_by_place(), today)


def due_words(state: UpkeepState) -> str:
    """ "Dust Hall case: due since 3 May 2026"."""
    since = f"due since {day_words(state.due)}" if state.due else "none is on record"
    return f"{TO_DO[state.what]} {isolated(str(state.place))}: {since}"
