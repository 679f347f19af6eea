"""Linear scale of years, years to x, that rulers share, and the brush that selects a range of years on it.

The brush is drawn without a size of its own: across in hundredths of its box, so that lines, words and
handles keep their size on a phone and on a wide screen alike.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .svg import esc, num

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


BAND_HEIGHT = 100.0
# Thousandths of the width that a year in words needs on a wide screen and on a phone.
WIDE_APART, SLIM_APART = 90, 200


def brush_ruler(scale: YearScale, curve: Curve, *, chosen: tuple[int, int] | None, words: str) -> str:
    """The band of pieces a year and, where years are chosen, what lies outside them dimmed.

    `chosen`: first and last year, both among them. `words`: what a screen reader says of the whole.
    """
    years = scale.last - scale.first
    body = [_line(scale, year) for year in _labelled(scale, WIDE_APART)]
    body.append(
        f'<svg class="brush-band" viewBox="0 0 {years} {num(BAND_HEIGHT)}" preserveAspectRatio="none" '
        f'aria-hidden="true"><path class="rule-band" d="{steps(scale, curve)}"/></svg>'
    )
    first, last = chosen or (scale.first, scale.last - 1)
    left, right = _part(scale, first), _part(scale, last + 1)
    body.append(f'<rect class="brush-off" data-before="" x="0" y="0" width="{left}%" height="100%"/>')
    body.append(
        f'<rect class="brush-off" data-after="" x="{right}%" y="0" width="{num(100 - float(right))}%" '
        f'height="100%"/>'
    )
    return (
        f'<svg class="brush-drawn" role="img"><title>{esc(words)}</title>{"".join(body)}</svg>'
        + _words(scale, WIDE_APART, "wide")
        + _words(scale, SLIM_APART, "slim")
    )


def steps(scale: YearScale, curve: Curve) -> str:
    """Path data: a level step for each year, in years across and hundredths of the highest upward."""
    heights = {year: max(0.0, height) for year, height in curve if scale.first <= year < scale.last}
    top = max(heights.values(), default=0.0)
    if top <= 0:
        return ""
    parts, level = [f"M0 {num(BAND_HEIGHT)}"], BAND_HEIGHT
    for year in range(scale.first, scale.last):
        here = BAND_HEIGHT * (1 - heights.get(year, 0.0) / top)
        if abs(here - level) > 0.05:
            parts.append(f"H{year - scale.first}V{num(here)}")
            level = here
    return "".join(parts) + f"H{scale.last - scale.first}V{num(BAND_HEIGHT)}Z"


def _labelled(scale: YearScale, apart: int) -> Sequence[int]:
    """Round years at least so many thousandths of the width from each other."""
    return scale.resized(1000).ticks(apart)


def _part(scale: YearScale, year: int) -> str:
    return num(min(100.0, max(0.0, 100 * (year - scale.first) / (scale.last - scale.first))))


def _line(scale: YearScale, year: int) -> str:
    at = _part(scale, year)
    return f'<line class="rule-line" x1="{at}%" x2="{at}%" y1="0" y2="100%"/>'


def _words(scale: YearScale, apart: int, kind: str) -> str:
    """The row of years below, in its own drawing; two of them, of which the style shows one."""
    labels = []
    for year in _labelled(scale, apart):
        at = _part(scale, year)
        anchor = "start" if float(at) < 3 else "end" if float(at) > 97 else "middle"
        labels.append(f'<text class="rule-label" x="{at}%" y="14" text-anchor="{anchor}">{year}</text>')
    return f'<svg class="brush-years brush-{kind}" aria-hidden="true">{"".join(labels)}</svg>'
