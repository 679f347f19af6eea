"""A finding as a find keeps it, and read back: columns, curve, spread over the years.

Free of the database, as the processes of the pool use it. The curve is simplified as a polyline
(Douglas–Peucker, with the distance taken upwards only). The spread is how the one piece that a find is
spreads over the years when pieces are added up, in a short text, three ways, as a find is dated: evenly over
a closed window (`1909-1941`), over candidate years by their chance (`|1926:35|1936:34|1946:31|`), else by the
find's own curve in level steps (`1840-1871:100 1872-1890:40`). It is the same for finds dated alike, so that
a list of any length is added up from the few different texts and how often each occurs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from typing import Any

import dating
from catalogue.common.drawings.year_axis import curve_per_year

# Stands where the years would until the worker has dated the find: nothing old is shown as if it were so.
WAITING_WORDS = "years being worked out"
NO_YEARS = frozenset({"", "not yet dated", WAITING_WORDS})
WAITING_ANSWER: Mapping[str, Any] = {
    "made_from": None,
    "made_to": None,
    "made_best": None,
    "made_words": WAITING_WORDS,
    "made_edtf": "",
    "made_ruler": {},
    "made_decades": "",
    "made_first": None,
    "made_last": None,
    "made_spread": "",
    "made_with": "",
    "made_in": None,
}


def columns_of(finding: dating.Finding, informed: bool) -> dict[str, Any]:
    """All that is stored of it but the maker. `informed`: whether there was anything to go by."""
    first, last = finding.window if finding.window else (None, None)
    curve = ruler_curve(finding.axis[0], finding.posterior) if informed else []
    decades = _decades(finding, informed)
    spread = spread_of((first, last), finding.years, curve, decades)
    return {
        "made_from": first,
        "made_to": last,
        "made_best": finding.best,
        "made_words": finding.words,
        "made_edtf": finding.edtf or "",
        "made_ruler": {"years": list(finding.years) if finding.years else None, "curve": curve},
        "made_decades": "".join(f"|{decade}" for decade in decades) + "|" if decades else "",
        "made_first": spread.first,
        "made_last": spread.last,
        "made_spread": spread.text,
        "made_in": finding.this_year,
    }


def _decades(finding: dating.Finding, informed: bool) -> list[int]:
    """Every decade its years touch: candidate years where a code leaves several, else the window,
    else (a side unbounded, or the evidence in conflict) the likely years."""
    first, last = finding.window if finding.window else (None, None)
    if finding.years:
        years: Iterable[int] = finding.years
    elif first is not None and last is not None:
        years = range(first, last + 1)
    elif informed:
        years = (year for run in finding.likely for year in range(run.start, run.end + 1))
    else:
        return []
    return sorted({year // 10 * 10 for year in years})


LOWEST = 0.01
SLACK = 0.008


def ruler_curve(first: int, probabilities: Sequence[float]) -> list[list[float]]:
    """Years against height (1 at the most probable year), as the fewest points a straight line joins.

    Years lower than a hundredth of the highest are left out; the line is within `SLACK` of every year.
    """
    top = max(probabilities, default=0.0)
    if not top:
        return []
    heights = [p / top for p in probabilities]
    curve: list[list[float]] = []
    begin = None
    for at, height in enumerate([*heights, 0.0]):
        if height >= LOWEST:
            begin = at if begin is None else begin
        elif begin is not None:
            if curve:
                # a gap between runs goes down to nothing on both sides
                curve += [[curve[-1][0] + 1, 0.0], [first + begin - 1, 0.0]]
            curve += _fewest(first + begin, heights[begin:at])
            begin = None
    return curve


def _fewest(first: int, run: list[float]) -> list[list[float]]:
    """The points for heights from year `first` on, each year's."""
    if len(run) < 3:
        return [[first + i, round(height, 3)] for i, height in enumerate(run)]
    # inside a level stretch no year is farther from any line than both its ends: most years are skipped
    level = zip(run, run[1:], run[2:], strict=False)
    knots = [0, *(i for i, (a, b, c) in enumerate(level, 1) if not a == b == c), len(run) - 1]
    heights = [run[i] for i in knots]
    return [[first + knots[n], round(run[knots[n]], 3)] for n in _bends(knots, heights)]


def _bends(knots: list[int], heights: list[float]) -> list[int]:
    """Which knots to keep, by their numbers in the list, both ends among them."""
    kept = [0]
    left = [(0, len(knots) - 1)]
    while left:
        low, high = left.pop()
        between = heights[low + 1 : high]
        begin, end = heights[low], heights[high]
        # knots between that are no higher and no lower than both ends by more can't be off the line
        if between and max(begin, end, *between) - min(begin, end, *between) > SLACK:
            rise, span, start = end - begin, knots[high] - knots[low], knots[low]
            off = [
                abs(height - (begin + rise * (knot - start) / span))
                for knot, height in zip(knots[low + 1 : high], between, strict=True)
            ]
            worst = max(off)
            if worst > SLACK:
                at = low + 1 + off.index(worst)
                left += [(at, high), (low, at)]
                continue
        kept.append(high)
    return kept


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


@lru_cache(maxsize=1 << 16)
def middle_year(text: str) -> int | None:
    """The year that a stored text stands for in an order of years; None for a find without years.

    Of candidate years the likeliest, else the one before and after which half of it lies.
    """
    spans = runs(text)
    if not spans:
        return None
    if text.startswith("|"):
        return max(spans, key=lambda run: (run[2], -run[0]))[0]
    left = 0.5
    for first, last, share in spans:
        whole = (last - first + 1) * share
        if whole >= left - 1e-9:
            return min(last, first + int(left / share))
        left -= whole
    return spans[-1][1]


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
