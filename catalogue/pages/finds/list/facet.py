"""One way to narrow a list of finds: what it is called, what it asks, how its choices read."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q, QuerySet

from catalogue.specimens.models import Specimen

NOT_RECORDED = "-"  # no address ends or begins with a dash, so it can't be a town's


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a filter as the page shows it."""

    value: str
    label: str
    count: int
    chosen: bool


@dataclass(frozen=True)
class Facet:
    """A column of the finds with words of its own; `column` may be named by `annotated`."""

    key: str
    label: str
    column: str
    blank: str = "not recorded"

    def annotated(self, finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
        """The finds with this facet's column on them."""
        return finds

    def counted(self, finds: QuerySet[Specimen]) -> Counter[Any]:
        """How many of the finds have each stored value. One query."""
        rows = self.annotated(finds.order_by()).values(self.column).annotate(n=Count("pk"))
        return Counter(dict(rows.values_list(self.column, "n")))

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        """Of what stands in the address: stored value -> (as written, label). Unknown words are left out."""
        raise NotImplementedError

    def ask(self, stored: Iterable[object]) -> Q:
        """Any of these."""
        wanted = set(stored)
        rest = wanted - {None, ""}
        asked = Q(**{f"{self.column}__in": rest}) if rest else Q()
        return asked | self.ask_blank() if wanted - rest else asked

    def ask_blank(self) -> Q:
        return Q(**{self.column: ""})

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        """What the page offers, the chosen ones always among it."""
        raise NotImplementedError

    def _blank_choice(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        count = counts.get(None, 0) + counts.get("", 0)
        picked = None in chosen or "" in chosen
        return [Choice(NOT_RECORDED, self.blank, count, picked)] if count or picked else []


@dataclass(frozen=True)
class WordFacet(Facet):
    """Words from a fixed list, in its order."""

    words: tuple[tuple[str, str], ...] = ()

    def read(self, values: Iterable[str]) -> dict[object, tuple[str, str]]:
        labels = dict(self.words)
        known: dict[object, tuple[str, str]] = {v: (v, labels[v]) for v in values if v in labels}
        if NOT_RECORDED in values:
            known[""] = (NOT_RECORDED, self.blank)
        return known

    def choices(self, counts: Counter[Any], chosen: dict[object, tuple[str, str]]) -> list[Choice]:
        found = [
            Choice(value, label, counts.get(value, 0), value in chosen)
            for value, label in self.words
            if counts.get(value) or value in chosen
        ]
        return found + self._blank_choice(counts, chosen)
