"""Reproductions: marks and forms that were copied later, what gives a copy away, and from when to when.

The late period is a caution, never evidence: it enters the years only where somebody writes it down as known,
because a tell-tale was seen.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import lru_cache

from .facts import Cells, keyed, rows_of
from .library import Reference, reference
from .tables import DATING_BASES, PUBLISHED

COPY_COLUMNS = frozenset({"id", "applies_to", "from", "to", "tell_tales", "source", "basis"})


@dataclass(frozen=True, slots=True)
class Reproduction:
    """A row: the features that were copied, the years (``end`` None: still made), what to look for."""

    id: str
    applies_to: tuple[str, ...]
    start: int
    end: int | None
    tell_tales: str
    source: str
    basis: str

    @property
    def years(self) -> str:
        """As a person says them."""
        return f"{self.start}–{self.end}" if self.end else f"from {self.start} to this day"


def copies_of(features: Iterable[str]) -> tuple[Reproduction, ...]:
    """The reproductions of any of these features, in the order of the table."""
    seen = set(features)
    return tuple(copy for copy in known_copies() if seen & set(copy.applies_to))


@lru_cache(maxsize=1)
def known_copies() -> tuple[Reproduction, ...]:
    """The packaged list."""
    return load_copies(PUBLISHED.text("reproductions"), reference())


def load_copies(text: str, ref: Reference) -> tuple[Reproduction, ...]:
    """Reproductions from the text of a table; raises ReferenceError for a row that may not be used."""
    rows = rows_of("reproductions", text)
    return tuple(keyed(rows, lambda cells: read_copy(cells, ref.features, ref.sources), "id").values())


def read_copy(cells: Cells, features: Collection[str], sources: Collection[str]) -> Reproduction:
    """One row of reproductions.csv."""
    cells.check_columns(COPY_COLUMNS, frozenset())
    copied = cells.several("applies_to")
    if not copied:
        raise cells.refuse("applies_to", "a copy needs what it is a copy of")
    for name in copied:
        if name not in features:
            raise cells.refuse("applies_to", f"“{name}” is not in features.csv")
    start, end = cells.year("from"), cells.year("to")
    if start is None:
        raise cells.refuse("from", "a copy needs its first year")
    cells.in_order(**{"from": start, "to": end})
    return Reproduction(
        cells.text("id", needed=True),
        tuple(copied),
        start,
        end,
        cells.text("tell_tales", needed=True),
        ";".join(cells.source_keys(sources)),
        cells.choice("basis", DATING_BASES, "memory"),
    )
