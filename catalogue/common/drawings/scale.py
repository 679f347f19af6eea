"""Linear scale of years, years to x, that rulers share, and curves over the years."""

from collections.abc import Sequence
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


def curve_per_year(curve: Sequence[Sequence[float]]) -> list[tuple[int, float]]:
    """A stored curve as a height for each year, as the drawings take it."""
    if len(curve) < 2:
        return [(int(year), float(height)) for year, height in curve]
    years: list[tuple[int, float]] = []
    for (y0, h0), (y1, h1) in zip(curve, curve[1:], strict=False):
        span = int(y1 - y0)
        years += [(int(y0) + i, h0 + (h1 - h0) * i / span) for i in range(span)]
    years.append((int(curve[-1][0]), float(curve[-1][1])))
    return years
