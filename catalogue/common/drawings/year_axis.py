"""The one axis of years of a catalogue, and the linear scale (years to x) that all rulers share.

The axis: whole decades round most of its pieces, a broken end for the rest. Its units are thousandths of the
width it is drawn over, whatever that is on the page. At both ends a narrow strip is kept free for what lies
beyond, so that all rulers of a catalogue stand under each other.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

Curve = Sequence[tuple[int, float]]
YearBounds = tuple[int | None, int | None]

WIDTH = 1000.0
BEYOND = 25.0  # units at either end for years that the axis does not reach
TAIL = 0.02  # of the years that the dated pieces cover, left out at either end
FEWEST_DATED = 10  # dated pieces; fewer tell too little to choose an axis by
USUAL_FIRST = 1800  # where the axis begins while there are fewer
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


@dataclass(frozen=True, slots=True)
class YearAxis:
    """From the start of the year `first` to the start of the year `last`.

    `before`, `after`: whether the catalogue has years beyond that end, which is then drawn broken.
    """

    first: int
    last: int
    before: bool = False
    after: bool = False

    def __post_init__(self) -> None:
        if self.last <= self.first:
            raise ValueError(f"An axis from {self.first} to {self.last} can't be drawn.")

    @property
    def scale(self) -> YearScale:
        """Years to units, between the two strips."""
        return YearScale(self.first, self.last, WIDTH - 2 * BEYOND, BEYOND)

    def holding(
        self, curve: Curve = (), *, window: YearBounds = (None, None), years: Iterable[int] = ()
    ) -> "YearAxis":
        """This axis, out to whole decades on a side where these years lie beyond it: for one large ruler.

        Of a curve all but its thin tails is held; of a window its known ends.
        """
        shown = [*(mass_range(curve) or ()), *(year for year in window if year is not None), *years]
        first = min([self.first, *(year // 10 * 10 for year in shown)])
        last = max([self.last, *(year // 10 * 10 + 10 for year in shown if year >= self.last)])
        return replace(
            self,
            first=first,
            last=last,
            before=self.before and first == self.first,
            after=self.after and last == self.last,
        )


def axis_of(a_year: Sequence[tuple[int, float]], pieces: int, this_year: int) -> YearAxis:
    """The axis of a catalogue: the 2nd to the 98th percentile of the years its dated pieces cover.

    `a_year`: pieces expected in each year, in the order of the years (`stored_answer.pieces_a_year`); each
    piece is one, spread over its years. `pieces`: how many are dated; with fewer than ten the axis runs from
    1800 to the end of this year. A percentile is the first year up to which that share lies (Hyndman and
    Fan, type 1).
    """
    there = [(year, height) for year, height in a_year if height > 0]
    if pieces < FEWEST_DATED or not there:
        first, last = USUAL_FIRST, this_year + 1
    else:
        first, last = _whole_decades(*percentiles(there, TAIL), this_year)
    if not there:
        return YearAxis(first, last)
    return YearAxis(first, last, there[0][0] < first, there[-1][0] >= last)


def percentiles(a_year: Sequence[tuple[int, float]], tail: float) -> tuple[int, int]:
    """The years below and above which that share lies."""
    whole, summed = sum(height for _, height in a_year), 0.0
    first, last = None, a_year[-1][0]
    for year, height in a_year:
        summed += height
        if first is None and summed >= tail * whole * (1 - 1e-9):
            first = year
        if summed >= (1 - tail) * whole * (1 - 1e-9):
            last = year
            break
    return a_year[0][0] if first is None else first, last


def _whole_decades(first: int, last: int, this_year: int) -> tuple[int, int]:
    """Out to whole decades, and to a few of them where that would be too short to tell years apart."""
    first, last = first // 10 * 10, last // 10 * 10 + 10
    end = max(last, this_year // 10 * 10 + 10)
    while last - first < MIN_SPAN:
        first -= 10
        if last - first < MIN_SPAN and last < end:
            last += 10
    return first, last
