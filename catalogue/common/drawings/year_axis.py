"""The one axis of years of a catalogue: whole decades round most of its pieces, a broken end for the rest.

Its units are thousandths of the width it is drawn over, whatever that is on the page. At both ends a narrow
strip is kept free for what lies beyond, so that all rulers of a catalogue stand under each other.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from .scale import MIN_SPAN, Curve, YearBounds, YearScale, mass_range

WIDTH = 1000.0
BEYOND = 25.0  # units at either end for years that the axis does not reach
TAIL = 0.02  # of the years that the dated pieces cover, left out at either end
FEWEST_DATED = 10  # dated pieces; fewer tell too little to choose an axis by
USUAL_FIRST = 1800  # where the axis begins while there are fewer


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
