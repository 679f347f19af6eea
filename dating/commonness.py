"""Prior weights: how many bottles bear a mark, so that rare marks take no share of common ones.

``reference/commonness.csv`` names the marks that are not of the middle sort, each with its grounds. Where
nothing is said it is borne by some: what is published of most works says neither few nor many. Few: seals,
marks read off one or two bottles, makers whom nobody traced, ware that was hardly bottles. Many: firms of
several large works, the leading maker of a kind of bottle, a jar made by many houses. The word is for the
bottles made in each year of use; how long a mark was used counts by its years.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from .facts import BASIS_WORDS, Cells, Source

HOW_COMMON = ("few", "some", "many")
COUNTS = {
    "few": "few bottles bear this mark, so it counts less",
    "many": "many bottles bear this mark, so it counts more",
    "own": "a maker of your own, so it counts more",
}


@dataclass(frozen=True, slots=True)
class Commonness:
    """How many bottles bear a mark (``few``, ``some``, ``many``; ``own``: one's own); how that is known."""

    mark: str
    commonness: str
    source: str
    basis: str
    note: str

    @property
    def counts(self) -> str:
        """Why the mark's share is not the usual one; empty where it is."""
        return COUNTS.get(self.commonness, "")

    @property
    def words(self) -> str:
        """What the mark's row says of it; nothing for the middle sort."""
        if self.commonness not in ("few", "many"):
            return ""
        return f"{self.commonness} bottles bear it: {self.note} ({BASIS_WORDS[self.basis]})"


UNSAID = Commonness("", "some", "", "common", "")
ONES_OWN = Commonness("", "own", "", "common", "")


def read_commonness(cells: Cells, sources: Mapping[str, Source], marks: Collection[str]) -> Commonness:
    """One row of commonness.csv; raises ReferenceError."""
    cells.check_columns(frozenset(Commonness.__slots__), frozenset())
    cells.check_length()
    cells.text("commonness", needed=True)
    basis = cells.grounds(sources).basis
    return Commonness(
        cells.one_of("mark", marks),
        cells.choice("commonness", HOW_COMMON, ""),
        cells.text("source"),
        basis,
        cells.text("note", needed=True),
    )
