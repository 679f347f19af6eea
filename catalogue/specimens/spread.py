"""How the one piece that a find is spreads over the years when pieces are added up, in a short text.

Three ways, as a find is dated: evenly over a closed window (`1909-1941`), over candidate years by their
chance (`|1926:35|1936:34|1946:31|`), else by the find's own curve in level steps
(`1840-1871:100 1872-1890:40`). The text is stored with the find and the same for finds dated alike, so that
a list of any length is added up from the few different texts and how often each occurs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from catalogue.common.drawings.scale import curve_per_year

SPREAD_LENGTH = 400
# Of the highest year: steps of a curve differ by more than this. Such a find is of no known span anyway, and
# finer steps would make hardly two texts the same, so that a long list is slow to add up.
LEVEL, ROUND = 0.2, 5
AXIS_FIRST, AXIS_YEARS = 1000, 2000  # the years there are: from the first, so many
Run = tuple[int, int, float]  # first year, last year, share of the piece in each of them


@dataclass(frozen=True, slots=True)
class Spread:
    """First and last year a find counts for in a list (None: it counts for none), and the text."""

    first: int | None = None
    last: int | None = None
    text: str = ""


def spread_of(
    window: tuple[int | None, int | None],
    years: Sequence[int] | None,
    points: Sequence[Sequence[float]],
    decades: Sequence[int],
) -> Spread:
    """From what is stored with a find: its window, candidate years, points of its curve, and decades."""
    first, last = window
    if years:
        heights = dict(curve_per_year(points))
        whole = sum(heights.get(year, 0.0) for year in years)
        shares = {y: heights.get(y, 0.0) / whole if whole else 1 / len(years) for y in years}
        text = "".join(f"|{y}:{max(1, round(share * 100))}" for y, share in shares.items()) + "|"
        # more years than fit are drawn as a plain curve
        if len(text) <= SPREAD_LENGTH:
            return Spread(min(years), max(years), text)
    if first is not None and last is not None:
        return Spread(first, last, f"{first}-{last}")
    if not points or not decades:
        return Spread()
    curve = curve_per_year(points)
    text, level = _steps(curve, LEVEL), LEVEL
    while len(text) > SPREAD_LENGTH:
        level *= 1.6
        text = _steps(curve, level)
    return Spread(
        max(first if first is not None else 0, min(decades)),
        min(last if last is not None else 9999, max(decades) + 9),
        text,
    )


def _steps(curve: Sequence[tuple[int, float]], level: float) -> str:
    top = max(height for _, height in curve)
    steps: list[list[float]] = []
    for year, height in curve:
        step = steps[-1] if steps else None
        # gaps stay gaps, unless nothing else makes the text short enough
        if step and (year == step[1] + 1 or level > 1) and abs(height - step[2] / step[3]) <= level * top:
            step[3] += year - step[1]
            step[1], step[2] = year, step[2] + height
        else:
            steps.append([year, year, height, 1])
    rounded = ((a, b, round(100 / ROUND * total / n / top) * ROUND) for a, b, total, n in steps)
    return " ".join(f"{a:.0f}-{b:.0f}:{height}" for a, b, height in rounded if height)


@lru_cache(maxsize=1 << 16)
def runs(text: str) -> tuple[Run, ...]:
    """The years of a stored text with their shares, which add up to one; empty for a find without years."""
    parts = [part for part in text.replace("|", " ").split(" ") if part]
    found: list[Run] = []
    for part in parts:
        span, _, weight = part.partition(":")
        first, _, last = span.partition("-")
        found.append((int(first), int(last or first), float(weight or 1)))
    whole = sum((last - first + 1) * weight for first, last, weight in found)
    return tuple((first, last, weight / whole) for first, last, weight in found)


def pieces_a_year(counts: Mapping[str, int]) -> list[tuple[int, float]]:
    """How many pieces each year can expect, from how many finds have each text; gaps come as zero."""
    change = [0.0] * (AXIS_YEARS + 1)
    for text, count in counts.items():
        for first, last, share in runs(text):
            part = count * share
            change[first - AXIS_FIRST] += part
            change[last + 1 - AXIS_FIRST] -= part
    heights = list(accumulate(change))
    # adding and taking away leaves a dust of rounding where nothing is
    used = [at for at, height in enumerate(heights) if height > 1e-9]
    if not used:
        return []
    return [(AXIS_FIRST + at, max(0.0, heights[at])) for at in range(used[0], used[-1] + 1)]


def extent(texts: Iterable[str]) -> list[tuple[int, int]]:
    """First and last year of every spread that has ends of its own: windows and candidate years."""
    ends = []
    for text in texts:
        if text and (text.startswith("|") or ":" not in text):
            parts = runs(text)
            ends.append((parts[0][0], parts[-1][1]))
    return ends


def beginnings(first: int, last: int) -> list[str]:
    """The fewest words that begin each of these years and no other: "|1899", "|19", "|200"."""
    found, year = [], first
    while year <= last:
        for step in (100, 10, 1):
            if year % step == 0 and year + step - 1 <= last:
                found.append(f"|{year // step}")
                year += step
                break
    return found
