"""The words of the trade (pontil, flash, crizzling) and what each means: `trade_terms.csv`.

A term is found by any of its forms; where two begin at one letter, the longer one is meant.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

from dating.facts import BASIS_WORDS, Cells, FactFolder, Grounds, keyed

TRADE_FACTS = FactFolder(Path(__file__).resolve().parent)
TERM_COLUMNS = ("term", "forms", "marked", "words")


@dataclass(frozen=True, slots=True)
class TradeTerm:
    """A term, its other forms (plurals, other names), and its meaning in one or two plain sentences.

    `marked`: it is explained where it stands in a sentence; else only in a list of what words mean, since
    most people know it.
    """

    term: str
    forms: tuple[str, ...]
    marked: bool
    words: str
    grounds: Grounds

    @property
    def key(self) -> str:
        """The term as it may stand in an address or as a name of an element."""
        return re.sub(r"[^a-z]+", "-", self.term.lower()).strip("-")

    @property
    def source_words(self) -> str:
        """Who said so; what nobody published says that it has no source."""
        if self.grounds.sources:
            return "; ".join(source.words for source in self.grounds.sources)
        return f"{BASIS_WORDS[self.grounds.basis]}, no source"


class TermTable:
    """The terms by their name, and how they are found in a text."""

    def __init__(self, terms: Iterable[TradeTerm]) -> None:
        self.terms: Mapping[str, TradeTerm] = {term.term: term for term in terms}

    @property
    def in_order(self) -> list[TradeTerm]:
        """The terms from A to Z."""
        return sorted(self.terms.values(), key=lambda term: term.term.lower())

    @cached_property
    def _by_form(self) -> dict[str, TradeTerm]:
        return {form.lower(): term for term in self.terms.values() for form in (term.term, *term.forms)}

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        forms = sorted(map(re.escape, self._by_form), key=lambda form: -len(form))
        return re.compile(rf"(?<![\w-])(?:{'|'.join(forms)})(?![\w-])", re.IGNORECASE)

    def found_in(self, text: str) -> Iterator[tuple[int, int, TradeTerm]]:
        """Each place in a text where a term stands: its first and its end, and the term."""
        for found in self._pattern.finditer(text):
            yield found.start(), found.end(), self._by_form[found[0].lower()]


def read_term(cells: Cells) -> TradeTerm:
    """One row of trade_terms.csv. Raises ReferenceError."""
    words = cells.text("words", needed=True)
    if not words.endswith(".") or words.count(". ") > 1:
        raise cells.refuse("words", "is one or two whole sentences")
    return TradeTerm(
        cells.text("term", needed=True),
        cells.several("forms"),
        cells.yes("marked"),
        words,
        cells.grounds(TRADE_FACTS.sources),
    )


def term_table(rows: Iterable[Cells]) -> TermTable:
    """The table of these rows; no form may mean two terms. Raises ReferenceError."""
    seen: set[str] = set()

    def read(cells: Cells) -> TradeTerm:
        term = read_term(cells)
        for form in (term.term, *term.forms):
            if form.lower() in seen:
                raise cells.refuse("forms", f"“{form}” is there twice")
            seen.add(form.lower())
        return term

    return TermTable(keyed(rows, read, "term").values())


@cache
def trade_terms() -> TermTable:
    """The table that the catalogue carries."""
    return term_table(TRADE_FACTS.rows("trade_terms", TERM_COLUMNS))
