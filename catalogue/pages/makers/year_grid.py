"""A maker's years as a grid, a row a decade: which years a piece is of, or may be of, and which are missing.

Only years that the maker's codes can say are in it; a piece without a code read fills none.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalogue.specimens.stored_answer import runs
from dating.codes import DateCode, sample
from dating.tables import Mark

MOST_YEARS = 150
HELD, MAYBE, MISSING = "held", "maybe", "missing"


@dataclass(frozen=True, slots=True)
class YearCell:
    """One year: pieces that are of it, and pieces that may be of it or of another year."""

    year: int
    held: int
    maybe: int

    @property
    def state(self) -> str:
        return HELD if self.held else MAYBE if self.maybe else MISSING

    @property
    def words(self) -> str:
        """ "1926: 1 piece, 2 more may be of it"."""
        pieces = f"{self.held} piece{'' if self.held == 1 else 's'}"
        if self.held and self.maybe:
            return f"{self.year}: {pieces}, {self.maybe} more may be of it"
        if self.held:
            return f"{self.year}: {pieces}"
        return f"{self.year}: {self.maybe} may be of it" if self.maybe else f"{self.year}: none"


@dataclass(frozen=True, slots=True)
class YearGrid:
    """Rows of ten cells, None where no code allows the year; how many years there are and are missing."""

    rows: list[tuple[int, list[YearCell | None]]]
    years: int
    held: int
    maybe: int

    @property
    def missing(self) -> int:
        return self.years - self.held - self.maybe


def year_grid(allowed: Iterable[int], spreads: Mapping[str, int]) -> YearGrid | None:
    """From the years that codes allow and how many pieces have each spread; None where no year is allowed."""
    years = set(allowed)
    if not years:
        return None
    held, maybe = _pieces(spreads)
    cells = {year: YearCell(year, held.get(year, 0), maybe.get(year, 0)) for year in years}
    states = [cell.state for cell in cells.values()]
    decades = range(min(years) // 10 * 10, max(years) + 1, 10)
    rows = [(decade, [cells.get(decade + n) for n in range(10)]) for decade in decades]
    return YearGrid(rows, len(years), states.count(HELD), states.count(MAYBE))


def years_allowed(codes: Iterable[DateCode], marks: Iterable[Mark], latest: int) -> set[int]:
    """Years for which some characters beside the marks would stand; none for a code of no known years."""
    marks = list(marks)
    found: set[int] = set()
    for code in codes:
        begins = [code.valid_from, *(mark.used_from for mark in marks if mark.id in code.mark_ids)]
        ends = [code.valid_to, *(mark.used_to for mark in marks if mark.id in code.mark_ids)]
        first = next((year for year in begins if year), None)
        last = next((year for year in ends if year), None)
        if first and last and last - first < MOST_YEARS:
            found |= {year for year in range(first, min(last, latest) + 1) if sample(code, year)}
    return found


def _pieces(spreads: Mapping[str, int]) -> tuple[dict[int, int], dict[int, int]]:
    held: dict[int, int] = {}
    maybe: dict[int, int] = {}
    for text, count in spreads.items():
        parts = runs(text)
        if text.startswith("|"):
            for year, _, _ in parts:
                maybe[year] = maybe.get(year, 0) + count
        elif len(parts) == 1 and parts[0][0] == parts[0][1]:
            held[parts[0][0]] = held.get(parts[0][0], 0) + count
    return held, maybe
