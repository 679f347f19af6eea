"""Per maker the years that its codes allow and no piece has."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from django.db.models import Count, Exists, OuterRef, Q, QuerySet
from django.utils import timezone

import dating
from catalogue.pages.makers.queries import marks_by_maker
from catalogue.pages.makers.year_grid import MISSING, YearGrid, year_grid, years_allowed
from catalogue.specimens.models import Maker, Specimen
from catalogue.specimens.tables import current_reference


@dataclass(frozen=True, slots=True)
class MissingYears:
    """A maker's grid of years, and those of which there is no piece yet."""

    maker: Maker
    grid: YearGrid
    years: tuple[int, ...]

    @property
    def words(self) -> str:
        """ "1922–1925, 1927"."""
        return year_runs(self.years)


def makers_looked_for() -> QuerySet[Maker]:
    """Makers whose years are listed: as the owner said, else those of which there are pieces."""
    pieces = Exists(Specimen.objects.filter(maker=OuterRef("pk")))
    return Maker.objects.filter(Q(look_for_years=True) | Q(pieces, look_for_years=None)).order_by(
        "name", "pk"
    )


def missing_years(
    makers: Iterable[Maker], *, aside: Collection[int] = (), ref: dating.Reference | None = None
) -> list[MissingYears]:
    """For each of these makers whose codes say years: which are there, which are missing. Two queries, and
    four that tell whether the joined tables changed. `aside`: finds that are not counted.
    """
    makers = list(makers)
    ref = ref or current_reference()
    marks = marks_by_maker(makers, ref)
    spreads: dict[int | None, Counter[str]] = defaultdict(Counter)
    pieces = Specimen.objects.filter(maker__in=makers).exclude(pk__in=aside).order_by()
    for maker, text, count in pieces.values_list("maker", "made_spread").annotate(n=Count("pk")):
        spreads[maker][text] += count
    found = []
    for each in makers:
        codes = {code.id: code for mark in marks[each.pk] for code in ref.codes_of.get(mark.id, ())}
        allowed = years_allowed(codes.values(), marks[each.pk], timezone.localdate().year)
        if grid := year_grid(allowed, spreads[each.pk]):
            cells = [cell for _, row in grid.rows for cell in row if cell is not None]
            years = tuple(sorted(cell.year for cell in cells if cell.state == MISSING))
            found.append(MissingYears(each, grid, years))
    return found


def year_runs(years: Iterable[int]) -> str:
    """Years as runs: "1922–1925, 1927"."""
    runs: list[list[int]] = []
    for year in sorted(years):
        if runs and year == runs[-1][1] + 1:
            runs[-1][1] = year
        else:
            runs.append([year, year])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)
