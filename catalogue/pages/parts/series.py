"""Pieces in the order of their years, all on one axis: what a town's and a maker's page show."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.queries import catalogue_axis

from .cards import Card, cards_of, summed
from .paging import ORDERS, in_order

MOST_IN_SERIES = 240
BY_YEAR = next(order for order in ORDERS if order.key == "made")


@dataclass(frozen=True, slots=True)
class Series:
    """The pieces shown, how many there are in all, and their years added up."""

    cards: list[Card]
    count: int
    ruler: SafeString

    @property
    def more(self) -> int:
        return self.count - len(self.cards)


def series_of(finds: SpecimenQuerySet[Specimen]) -> Series:
    """Up to 240 pieces, oldest first. Three queries, a fourth only where there are more."""
    rows = list(
        in_order(finds.with_card_parts().select_related("bottler"), BY_YEAR, False)[: MOST_IN_SERIES + 1]
    )
    count = len(rows) if len(rows) <= MOST_IN_SERIES else finds.count()
    rows = rows[:MOST_IN_SERIES]
    words = f"the years of {count} pieces added up" if count != 1 else "the years of one piece"
    axis = catalogue_axis()
    return Series(cards_of(rows, axis=axis), count, summed(rows, words, axis))
