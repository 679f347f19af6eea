"""Facets of years: the decades it may have been made in, the year it came up."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Case, CharField, Count, F, Q, QuerySet, Value, When
from django.db.models.functions import Cast, Concat

from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from catalogue.specimens.year_words import came_up_words
from dating import edtf

from .facet import NOT_RECORDED, Choice, Facet

ONE_YEAR = re.compile(r"(\d{4})(?![\dX])[^/]*")
OF_DIVE = "#"


@dataclass(frozen=True)
class DecadeFacet(Facet):
    """Decades that the years of making touch; a find of many possible decades counts in each."""

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        decades = [v for v in values if v.isascii() and v.isdigit() and len(v) == 4 and v.endswith("0")]
        known: dict[object, tuple[str, str]] = {v: (v, f"{v}s") for v in decades}
        if NOT_RECORDED in values:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def ask(self, stored: Iterable[object]) -> Q:
        asked = Q()
        for decade in stored:
            asked |= Q(made_decades__contains=f"|{decade}|") if decade else self.ask_blank()
        return asked

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        per_decade: Counter[Any] = Counter()
        for stored, count in counts.items():
            for decade in stored.strip("|").split("|"):
                per_decade[decade] += count
        decades = sorted({d for d in (*per_decade, *chosen) if d})
        found = [Choice(d, f"{d}s", per_decade[d], d in chosen) for d in decades]
        return found + self._blank_choice(per_decade, chosen)


@dataclass(frozen=True)
class RecoveryFacet(Facet):
    """The year it came up: its dive's, else as it is remembered, "the 1990s" being a choice of its own.

    What is counted is the dive by its key, or the words of the find; which year a dive was in is looked up
    apart.
    """

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        by_dive = Concat(Value(OF_DIVE), Cast("dive_id", CharField()))
        return finds.annotate(
            **{
                self.column: Case(
                    When(dive__isnull=False, then=by_dive),
                    default=F("recovered_edtf"),
                    output_field=CharField(),
                )
            }
        )

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        rows = finds.order_by().values_list("dive_id", "recovered_edtf").annotate(n=Count("pk"))
        counts: Counter[Any] = Counter()
        for dive, words, count in rows:
            counts[f"{OF_DIVE}{dive}" if dive else words] += count
        return counts

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        words = list(values)
        known: dict[object, tuple[str, str]] = {
            word: (word, came_up_words(word)) for word in words if _can_be_read(word)
        }
        if NOT_RECORDED in words:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def ask(self, stored: Iterable[object]) -> Q:
        asked = Q()
        for word in map(str, stored):
            year = int(word) if word.isdigit() and len(word) == 4 else 0
            if not word:
                asked |= self.ask_blank()
            elif year:
                on_dive = Q(dive__date__gte=date(year, 1, 1), dive__date__lte=date(year, 12, 31))
                told = Q(recovered_edtf__startswith=word) & ~Q(recovered_edtf__contains="/")
                asked |= on_dive | Q(dive__isnull=True) & told
            else:
                asked |= Q(dive__isnull=True, recovered_edtf=word)
        return asked

    def ask_blank(self) -> Q:
        return Q(dive__isnull=True, recovered_edtf="")

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        year_of = {f"{OF_DIVE}{pk}": str(day.year) for pk, day in Dive.everything.values_list("pk", "date")}
        per_word: Counter[Any] = Counter()
        for stored, count in counts.items():
            per_word[year_of.get(stored) or _year_or_words(stored)] += count
        words = sorted({str(word) for word in (*per_word, *chosen) if word}, reverse=True)
        found = [Choice(word, came_up_words(word), per_word[word], word in chosen) for word in words]
        return found + self._blank_choice(per_word, chosen)


def _year_or_words(written: str) -> str:
    """ "1995" of "1995-07" and of "1995~": of what falls into one year; other words as they are."""
    found = ONE_YEAR.fullmatch(written)
    return found[1] if found else written


def _can_be_read(word: str) -> bool:
    try:
        edtf.parse(word)
    except edtf.EdtfError:
        return False
    return word != "0000"
