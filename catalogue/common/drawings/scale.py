"""Linear scale of years, years to x, that rulers share, so that the eye can compare down a page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Curve = Sequence[tuple[int, float]]
YearBounds = tuple[int | None, int | None]

MIN_SPAN = 40  # years: a single year should not fill the card
MASS_ON_SCALE = 0.95  # of a curve's mass that has to be on the scale; the rest fades out at its edge


@dataclass(frozen=True, slots=True)
class YearScale:
    """From the start of ``first`` to the start of ``last``, over ``width`` units beginning at ``left``."""

    first: int
    last: int
    width: float = 180.0
    left: float = 0.0

    def __post_init__(self) -> None:
        if self.last <= self.first or self.width <= 0:
            raise ValueError(f"A scale from {self.first} to {self.last} over {self.width} can't be drawn.")

    @property
    def right(self) -> float:
        """The x where the scale ends."""
        return self.left + self.width

    @property
    def per_year(self) -> float:
        """Units per year."""
        return self.width / (self.last - self.first)

    def x(self, year: float) -> float:
        """Where that year begins, also beyond the ends."""
        return self.left + (year - self.first) * self.per_year

    def middle(self, year: int) -> float:
        """The middle of a year."""
        return self.x(year + 0.5)

    def kept(self, x: float) -> float:
        """An x held between the ends."""
        return min(self.right, max(self.left, x))

    def ticks(self, apart: float) -> list[int]:
        """Round years at least ``apart`` units from each other."""
        for step in (10, 20, 50, 100, 200):
            if step * self.per_year >= apart:
                break
        start = -(-self.first // step) * step
        return list(range(start, self.last + 1, step))

    def resized(self, width: float, left: float = 0.0) -> "YearScale":
        """The same years over another width."""
        return YearScale(self.first, self.last, width, left)


def mass_range(curve: Curve, share: float = MASS_ON_SCALE) -> tuple[int, int] | None:
    """The years between which the middle ``share`` of a curve lies; None where it has no mass."""
    points = sorted((year, height) for year, height in curve if height > 0)
    total = sum(height for _, height in points)
    if total <= 0:
        return None
    tail, summed = (1 - share) / 2 * total, 0.0
    first, last = points[0][0], points[-1][0]
    first_found = False
    for year, height in points:
        summed += height
        if not first_found and summed > tail + total * 1e-9:
            first, first_found = year, True
        if summed >= total - tail - total * 1e-9:
            last = year
            break
    return first, last


def scale_for(
    curves: Iterable[Curve] = (),
    *,
    windows: Iterable[YearBounds] = (),
    years: Iterable[int] = (),
    width: float = 180.0,
    left: float = 0.0,
    min_span: int = MIN_SPAN,
    latest: int | None = None,
) -> YearScale:
    """A scale in whole decades around the mass of all curves, the known ends of windows, and single years.

    ``latest`` is the last year there is (this year); nothing beyond its decade is shown. Without anything
    to show: 1800 to 2000.
    """
    shown = list(years)
    for curve in curves:
        shown.extend(mass_range(curve) or ())
    for window in windows:
        shown.extend(year for year in window if year is not None)
    if not shown:
        return YearScale(1800, 2000, width, left)
    first = min(shown) // 10 * 10
    last = max(shown) // 10 * 10 + 10
    end = None if latest is None else latest // 10 * 10 + 10
    if end is not None:
        last = max(min(last, end), min(shown) // 10 * 10 + 10)
    grow_left = True
    while last - first < min_span:
        if grow_left or (end is not None and last >= end):
            first -= 10
        else:
            last += 10
        grow_left = not grow_left
    return YearScale(first, last, width, left)
