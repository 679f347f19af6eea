"""Reproductions: marks and forms that were copied later, what gives a copy away, and from when to when.

The late period is a caution and a question. It is evidence only where somebody ticked a tell-tale: then the
tell-tale dates the piece by the copy's years, and whatever was copied allows these years beside its own
(``widened``), as the old form or mark proves nothing of a copy.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .facts import Cells
from .tables import CORNERS, DATING_BASES, Feature
from .years import Axis, Spans, Trapezoid, box, joined

if TYPE_CHECKING:
    from .library import Reference

COPY_COLUMNS = frozenset({"id", "copy", "applies_to", "from", "to", "tell_tales", "source", "basis"})
COPIES = "copy"  # the group of features that the tell-tales are


@dataclass(frozen=True, slots=True)
class Reproduction:
    """A row: what the copy is, what was copied, the years (``end`` None: still made), its signs."""

    id: str
    copy: str
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

    @property
    def made(self) -> str:
        """The same within a sentence."""
        return f"{self.start}–{self.end}" if self.end else f"in {self.start} or later"

    @property
    def ask(self) -> str:
        """The tell-tales as a question."""
        signs = self.tell_tales.removesuffix(".")
        return f"Look for: {signs[:1].lower()}{signs[1:]}. Is it a later copy ({self.copy})?"

    @property
    def shape(self) -> Trapezoid:
        """Its years, level and with sharp ends."""
        return box(self.start, self.end)

    @property
    def feature(self) -> Feature:
        """Its tell-tales as a feature that can be seen on a bottle."""
        read = CORNERS if self.basis == "published" else ()
        return Feature(
            self.id,
            COPIES,
            f"Signs of a later copy: {self.copy}",
            self.tell_tales,
            self.start,
            self.start,
            self.end,
            self.end,
            "any",
            "any",
            "none",
            "none",
            read,
            self.source,
            "",
            self.basis,
            "",
        )


def copies_of(names: Iterable[str], ref: "Reference") -> tuple[Reproduction, ...]:
    """The reproductions of any of these features and marks, in the order of the table."""
    seen = set(names)
    return tuple(copy for copy in ref.copies.values() if seen & set(copy.applies_to))


def widened(
    heights: tuple[float, ...], support: Spans, copies: Collection[Reproduction], axis: Axis
) -> tuple[tuple[float, ...], Spans]:
    """The years of something copied, with those of copies whose tell-tales were seen beside its own."""
    for copy in copies:
        heights = tuple(map(max, heights, copy.shape.over(axis)))
        support = joined([*support, *copy.shape.support])
    return heights, support


def read_copy(cells: Cells, copied: Collection[str], sources: Collection[str]) -> Reproduction:
    """One row of reproductions.csv; ``copied``: ids of the features and marks that there are."""
    cells.check_columns(COPY_COLUMNS, frozenset())
    applies_to = cells.several("applies_to")
    if not applies_to:
        raise cells.refuse("applies_to", "a copy needs what it is a copy of")
    for name in applies_to:
        if name not in copied:
            raise cells.refuse("applies_to", f"“{name}” is neither a feature nor a mark of the tables")
    start, end = cells.year("from"), cells.year("to")
    if start is None:
        raise cells.refuse("from", "a copy needs its first year")
    cells.in_order(**{"from": start, "to": end})
    name = cells.text("id", needed=True)
    if name in copied:
        raise cells.refuse("id", f"“{name}” is the id of a feature or mark")
    return Reproduction(
        name,
        cells.text("copy", needed=True),
        applies_to,
        start,
        end,
        cells.text("tell_tales", needed=True),
        ";".join(cells.source_keys(sources)),
        cells.choice("basis", DATING_BASES, "memory"),
    )
