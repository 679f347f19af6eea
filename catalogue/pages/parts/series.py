"""Pieces in the order of their years, all on one axis: what a town's and a maker's page show."""

from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.ruler import axis_alone
from catalogue.common.drawings.year_axis import YearAxis
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet
from catalogue.specimens.queries import catalogue_axis

from .cards import Card, cards_of, summed
from .paging import ORDERS, in_order

MOST_IN_SERIES = 240
# Of more than so many the first stand open: 178 rows were sixteen screens high on a desk.
MOST_OPEN, FIRST_OPEN = 32, 24
BY_YEAR = next(order for order in ORDERS if order.key == "made")


@dataclass(frozen=True, slots=True)
class Series:
    """The pieces shown, how many there are in all, their years added up, and the axis that all stand under.

    Both drawings are empty where no piece is dated, the sum also for a single piece.
    """

    cards: list[Card]
    count: int
    ruler: SafeString
    axis: SafeString

    @property
    def first(self) -> list[Card]:
        """Those that stand open: what comes below must be reached by a thumb."""
        return self.cards if len(self.cards) <= MOST_OPEN else self.cards[:FIRST_OPEN]

    @property
    def folded(self) -> list[Card]:
        """The others, a touch away."""
        return self.cards[len(self.first) :]

    @property
    def more(self) -> int:
        return self.count - len(self.cards)


def series_of(finds: SpecimenQuerySet[Specimen], axis: YearAxis | None = None) -> Series:
    """Up to 240 pieces, oldest first. Two queries; one more without the `axis`, one where there are more."""
    rows = list(
        in_order(finds.with_card_parts().select_related("bottler", "product"), BY_YEAR, False)[
            : MOST_IN_SERIES + 1
        ]
    )
    count = len(rows) if len(rows) <= MOST_IN_SERIES else finds.count()
    rows = rows[:MOST_IN_SERIES]
    axis = axis or catalogue_axis()
    cards = cards_of(rows, axis=axis, labels=False)
    ruler = summed(rows, f"the years of {len(rows)} pieces added up", axis) if count > 1 else SafeString("")
    # safe: the drawing holds nothing but numbers
    in_words = mark_safe(axis_alone(axis)) if any(card.ruler for card in cards) else SafeString("")
    return Series(cards, count, ruler, in_words)
