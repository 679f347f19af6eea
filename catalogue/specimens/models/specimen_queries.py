"""The questions the catalogue asks of its finds, in its own words."""

from typing import TYPE_CHECKING, Self

from django.db.models import Q

from catalogue.common.records import RecordQuerySet, Row
from catalogue.common.text import folded
from catalogue.specimens.spread import beginnings

from .specimen_words import Stage, Standing

if TYPE_CHECKING:
    from catalogue.shelves.models import Place
    from catalogue.sites.models import Site

    from .trade import Maker, Town

STANDINGS_GONE = (Standing.HANDED_OVER, Standing.RETURNED, Standing.LEFT, Standing.LOST)


class SpecimenQuerySet(RecordQuerySet[Row]):
    def in_order(self) -> Self:
        """By number, newest first, sorted by its integers (2026.9.1 before 2026.14.1)."""
        return self.order_by("-number_year", "-number_ordinal", "-number_piece", "number_part")

    def free_to_take(self) -> Self:
        return self.filter(standing=Standing.FREE)

    def still_here(self) -> Self:
        return self.exclude(standing__in=STANDINGS_GONE)

    def on_the_bench(self) -> Self:
        return self.still_here().exclude(stage=Stage.DONE)

    def from_town(self, town: "Town") -> Self:
        return self.filter(town=town)

    def by_maker(self, maker: "Maker") -> Self:
        return self.filter(maker=maker)

    def from_site(self, site: "Site") -> Self:
        return self.filter(Q(dive__site=site) | Q(dive__isnull=True, site=site))

    def on_shelf(self, place: "Place") -> Self:
        return self.filter(place=place)

    def made_between(self, first: int | None, last: int | None) -> Self:
        """Made, as far as is known, in some year of these, both ends among them; None for an open end.

        A closed window touches them; of candidate years one is among them; else a likely decade touches
        them.
        """
        first, last = first or 1000, last or 2999
        one_of, likely = Q(), Q()
        for begin in beginnings(first, last):
            one_of |= Q(made_spread__contains=begin)
        for begin in beginnings(first // 10 * 10, last // 10 * 10 + 9):
            likely |= Q(made_decades__contains=begin)
        candidates, window = Q(made_spread__startswith="|"), ~Q(made_spread__contains=":")
        within = self.filter(made_first__lte=last, made_last__gte=first)
        return within.filter(window | candidates & one_of | ~candidates & likely)

    def matching(self, words: str) -> Self:
        """Every word occurs somewhere in what was typed about the find."""
        found = self
        for word in folded(words).split()[:12]:
            found = found.filter(search_text__contains=word)
        return found

    def for_visitors(self) -> Self:
        """What somebody who is not the owner may see."""
        return self.filter(Q(standing=Standing.FREE) | Q(shared=True))

    def with_card_parts(self) -> Self:
        """With what a card shows, in one query; leaves the long texts in the database."""
        return self.select_related("town", "maker", "place", "dive__site", "site").defer(
            "search_text", "notes", "story"
        )
