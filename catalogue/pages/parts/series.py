"""Pieces in the order of their years, each on the same ruler: what a town's and a maker's page show."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet

from .cards import Card, cards_of, summed
from .paging import ORDERS, in_order

MOST_IN_SERIES = 240
SERIES_RULER_WIDTH = 320.0
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
    """Up to 240 pieces, oldest first. Two queries, a third only where there are more."""
    rows = list(
        in_order(finds.with_card_parts().select_related("bottler"), BY_YEAR, False)[: MOST_IN_SERIES + 1]
    )
    count = len(rows) if len(rows) <= MOST_IN_SERIES else finds.count()
    rows = rows[:MOST_IN_SERIES]
    words = f"the years of {count} pieces added up" if count != 1 else "the years of one piece"
    return Series(cards_of(rows, ruler_width=SERIES_RULER_WIDTH), count, summed(rows, words))
