"""The published tables as the search reads them: in memory, as they change with the program alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.text import slugify

import dating
from catalogue.common.words.trade_terms import trade_terms
from dating.copies import COPIES
from dating.inscription import known_phrases

from .folding import fold
from .kinds import Fields, SearchField, text_of
from .spelling import NearWords
from .units import Unit


@dataclass(frozen=True)
class PublishedRow:
    """One row: in which part of the reference it stands, what it is called there, what it says."""

    part: str
    row: str
    title: str
    said: tuple[tuple[str, str], ...]

    def fields(self) -> Fields:
        """Named as those of records are."""
        yield SearchField("name", self.title)
        for name, text in self.said:
            yield SearchField(name, text)

    @cached_property
    def folded(self) -> str:
        """As an entry of the index holds it."""
        return text_of(fold(field.text) for field in self.fields())

    def get_absolute_url(self) -> str:
        """The page of the reference on which it stands, with the row open."""
        asked = urlencode({"part": self.part, "row": self.row})
        return f"{reverse('reference:reference')}?{asked}#row-{slugify(self.row)}"

    def __str__(self) -> str:
        return self.title


@lru_cache(maxsize=1)
def published_rows() -> tuple[PublishedRow, ...]:
    """Marks, features, phrases and words of the trade; what the user added beside them is a record."""
    ref = dating.reference()
    rows = [
        PublishedRow(
            "marks",
            mark.id,
            f"{mark.text or mark.letters or mark.symbol}, {mark.maker}",
            (
                ("letters", mark.letters),
                ("where", mark.place),
                ("seen on", mark.found_on),
                ("note", mark.note),
            ),
        )
        for mark in ref.marks.values()
    ]
    rows += [
        PublishedRow("features", one.id, one.term, (("how to see it", one.how_to_see), ("note", one.note)))
        for one in ref.features.values()
        if one.group != COPIES
    ]
    rows += [
        PublishedRow("words", term.key, term.term, (("also", ", ".join(term.forms)), ("means", term.words)))
        for term in trade_terms().in_order
    ]
    rows += [
        PublishedRow("phrases", phrase.words, phrase.words, (("says", phrase.says),))
        for phrase in known_phrases()
    ]
    return tuple(rows)


@lru_cache(maxsize=1)
def _whole_text() -> str:
    return "\n".join(row.folded for row in published_rows())


def is_published(unit: Unit) -> bool:
    """Whether any row holds it."""
    return unit.is_in(_whole_text())


def published_with(units: Sequence[Unit]) -> list[PublishedRow]:
    """Rows that hold every unit, those first that hold it in their name. Nothing for years alone."""
    if all(unit.years for unit in units) or not all(is_published(unit) for unit in units):
        return []
    found = [row for row in published_rows() if all(unit.is_in(row.folded) for unit in units)]
    return sorted(found, key=lambda row: not all(unit.is_in(row.folded.split("\n")[0]) for unit in units))


@lru_cache(maxsize=1)
def _words() -> NearWords:
    return NearWords({word for row in published_rows() for word in row.folded.split() if word.isalpha()})


def published_words_near(typed: str) -> set[str]:
    """Words that stand there and may be meant."""
    return _words().near(typed)
