"""Words of an inscription that tell more than a name: a law, a stated size, a country, another language.

They do not date by themselves: each may point to a feature of the tables or to a region, which a person then
says for certain or not. The list is ``reference/phrases.csv``, each row with what it rests on. In ``words``,
``#`` stands for a number, ``#####`` for one of exactly so many digits, ``@@`` for so many letters.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from . import tables
from .facts import Cells, rows_of
from .library import reference
from .rows import Feature

PHRASE_COLUMNS = frozenset({"words", "says", "language", "region", "feature", "source", "basis"})


@dataclass(frozen=True, slots=True)
class Phrase:
    """A row: the words, what they say, their language, and the region and the feature that they point to."""

    words: str
    says: str
    language: str
    region: str
    feature: str
    source: str
    basis: str


def phrases_in(text: str) -> tuple[Phrase, ...]:
    """The phrases that stand in an inscription, longest first; one inside another is left out."""
    words = words_of(text)
    found: list[Phrase] = []
    taken: set[int] = set()
    for phrase in known_phrases():
        pattern = phrase.words.split()
        places = [range(n, n + len(pattern)) for n in range(len(words) - len(pattern) + 1)]
        here = next(
            (p for p in places if not taken & set(p) and _fits(pattern, words[p.start : p.stop])), None
        )
        if here is not None:
            taken |= set(here)
            found.append(phrase)
    return tuple(found)


def words_of(text: str) -> list[str]:
    """Capitals and figures alone, without accents and points: as raised letters are compared."""
    bare = unicodedata.normalize("NFKD", text.replace("ß", "ss")).upper()
    return re.findall(r"[A-Z0-9]+", "".join(c for c in bare if not unicodedata.combining(c)))


def _fits(pattern: Sequence[str], words: Sequence[str]) -> bool:
    return all(_matches(want, word) for want, word in zip(pattern, words, strict=True))


def _matches(want: str, word: str) -> bool:
    if want == "#":
        return word.isdigit()
    if set(want) == {"#"}:
        return word.isdigit() and len(word) == len(want)
    if set(want) == {"@"}:
        return word.isalpha() and len(word) == len(want)
    return want == word


@lru_cache(maxsize=1)
def known_phrases() -> tuple[Phrase, ...]:
    """The packaged list, the longest phrases first."""
    return load(tables.PUBLISHED.text("phrases"), reference().features)


def load(text: str, features: Mapping[str, Feature]) -> tuple[Phrase, ...]:
    """Phrases from the text of a table; raises ReferenceError for a row that may not be used."""
    rows = [read_phrase(cells, features) for cells in rows_of("phrases", text)]
    return tuple(sorted(rows, key=lambda row: -len(row.words.split())))


def read_phrase(cells: Cells, features: Mapping[str, Feature]) -> Phrase:
    """One row of phrases.csv."""
    cells.check_columns(PHRASE_COLUMNS, frozenset())
    feature = cells.text("feature")
    if feature and feature not in features:
        raise cells.refuse("feature", f"“{feature}” is not in features.csv")
    return Phrase(
        cells.text("words", needed=True),
        cells.text("says", needed=True),
        cells.text("language", needed=True),
        cells.text("region"),
        feature,
        cells.text("source", needed=True),
        cells.choice("basis", tables.DATING_BASES, "memory"),
    )
