"""Facets whose choices are rows of other tables: towns, makers, bottlers, dives and the like."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.db.models.functions import Coalesce

from catalogue.common.localisation import day_words
from catalogue.common.text import folded
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen, Town

from .facet import NOT_RECORDED, Choice, Facet

DIVE = re.compile(r"\d{4}\.\d{1,6}")
MOST_CHOICES_LISTED = 60  # choices shown of one kind, the most numerous; any other is typed by its name


@dataclass(frozen=True)
class RowFacet(Facet):
    """Rows of another table: towns, makers, sites, places. One query for the names of those shown.

    Only the columns that are shown are read (`named`: those that make its name), not whole rows.
    """

    model: type[Any] = Town
    by: str = "slug"
    named: tuple[str, ...] = ("name",)
    # What one row is called where the page takes a name typed beside the choices; "" where it takes none.
    one: str = ""

    def _rows(self, **which: Any) -> Iterator[tuple[int, str, str]]:
        """Key, address word and name of the rows that are asked for."""
        for pk, word, *names in self.model.everything.filter(**which).values_list("pk", self.by, *self.named):
            yield pk, str(word), ", ".join(filter(None, names))

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        words = list(values)
        known: dict[object, tuple[str, str]] = {}
        if NOT_RECORDED in words:
            known[None] = (NOT_RECORDED, self.blank)
        asked = [w for w in words if w != NOT_RECORDED]
        if self.by == "pk":
            asked = [w for w in asked if w.isascii() and w.isdigit() and len(w) < 16]
        if asked:
            known |= {pk: (word, name) for pk, word, name in self._rows(**{f"{self.by}__in": asked})}
        return known

    def ask_blank(self) -> Q:
        return Q(**{f"{self.column}__isnull": True})

    def unlisted(self, counts: Counter[Any]) -> int:
        """How many rows with finds are too many to be listed."""
        return max(0, len(counts.keys() - {None}) - MOST_CHOICES_LISTED)

    def rows_named(self, typed: str) -> list[str]:
        """Address words of the rows that bear a typed name, in any case and with or without accents; else of
        those whose name holds it. One query.
        """
        wanted = folded(typed)
        rows = [
            (word, folded(name), folded(name.split(",")[0])) for _, word, name in self._rows(binned_at=None)
        ]
        exact = [word for word, whole, name in rows if wanted in (whole, name)]
        return exact or [word for word, whole, _ in rows if wanted in whole]

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        shown = {pk: n for pk, n in counts.most_common(MOST_CHOICES_LISTED + 1) if pk is not None}
        shown |= {pk: counts.get(pk, 0) for pk in chosen if pk is not None}
        rows = self._rows(pk__in=list(shown)) if shown else ()
        found = [Choice(word, name, shown[pk], pk in chosen) for pk, word, name in rows]
        found.sort(key=lambda choice: (-choice.count, choice.label.casefold()))
        return found + self._blank_choice(counts, chosen)


@dataclass(frozen=True)
class SiteFacet(RowFacet):
    """The site of its dive, else the one noted without a dive."""

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        return finds.annotate(**{self.column: Coalesce(F("dive__site_id"), F("site_id"))})

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        # grouped by what the index holds; the site of each dive is looked up apart, twice as fast as joined
        rows = finds.order_by().values_list("dive_id", "site_id").annotate(n=Count("pk"))
        site_of = dict(Dive.everything.values_list("pk", "site_id"))
        counts: Counter[Any] = Counter()
        for dive, site, count in rows:
            counts[site_of[dive] if dive else site] += count
        return counts

    def ask(self, stored: Iterable[object]) -> Q:
        wanted = set(stored)
        rest = wanted - {None}
        asked = Q(dive__site__in=rest) | Q(dive__isnull=True, site__in=rest) if rest else Q()
        return asked | self.ask_blank() if None in wanted else asked

    def ask_blank(self) -> Q:
        return Q(dive__isnull=True, site__isnull=True)


@dataclass(frozen=True)
class DiveFacet(RowFacet):
    """The dive it came up on, by the two numbers of its address."""

    def _rows(self, **which: Any) -> Iterator[tuple[int, str, str]]:
        dives = Dive.everything.filter(**which).values_list("pk", "year", "ordinal", "date", "site__name")
        for pk, year, ordinal, date, site in dives:
            yield pk, f"{year}.{ordinal}", f"{day_words(date)}, {site}"

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        words = list(values)
        known: dict[object, tuple[str, str]] = {}
        if NOT_RECORDED in words:
            known[None] = (NOT_RECORDED, self.blank)
        asked = set(filter(DIVE.fullmatch, words))
        years = {int(word.partition(".")[0]) for word in asked}
        if asked:
            rows = self._rows(year__in=years)
            known |= {pk: (word, name) for pk, word, name in rows if word in asked}
        return known
