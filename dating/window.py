"""The window: intersection of supports, the years that every certain and probable piece allows; in words."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from . import edtf
from .constants import HEADLINE_LEAST, HEADLINE_SURE, LEVEL_WITHIN, PLATEAU, STANDS_OUT
from .evidence import Piece
from .years import OPEN_HIGH, Axis, Spans, ends, meet, meet_all, span, years_in


class Window(NamedTuple):
    """First and last possible year; None: that side is open."""

    start: int | None
    end: int | None


@dataclass(frozen=True, slots=True)
class Bounds:
    """What the bounding pieces leave: the spans, their ends, separate years, and how it was reached."""

    spans: Spans
    window: Window | None
    years: tuple[int, ...] | None
    disagree: bool
    probably: bool


def allowed(pieces: Sequence[Piece], axis: Axis) -> Spans:
    """The years that all of them allow; a firm end never lies after the last year considered."""
    spans = meet_all(piece.support for piece in pieces)
    if spans and spans[-1][1] != OPEN_HIGH:
        spans = meet(spans, span(None, axis.last))
    elif spans and spans[-1][0] > axis.last:
        spans = ()
    return spans


def bounds(pieces: Sequence[Piece], axis: Axis) -> Bounds:
    """The window of the pieces that bound it (doubtful ones do not)."""
    bounding = [piece for piece in pieces if piece.bounds]
    spans = allowed(bounding, axis)
    if not spans:
        return Bounds(spans, None, None, True, False)
    window = Window(*ends(spans))
    if window == (None, None):
        return Bounds(spans, None, None, False, False)
    certain = [piece for piece in bounding if piece.certainty == "certain"]
    sure = spans if len(certain) == len(bounding) else allowed(certain, axis)
    years = None
    if any(piece.coded for piece in bounding) and None not in window:
        listed = years_in(spans)
        # Neighbouring years are a stretch, not separate candidates: "about 1940 to 1949".
        years = listed if len(spans) > 1 else None
    return Bounds(spans, window, years, False, sure != spans)


def held(found: Bounds, after: Sequence[float], axis: Axis) -> float:
    """The share of the posterior (scaled) that a stated window, or its separate years, holds."""
    assert found.window is not None
    if found.years:
        return sum(after[year - axis.first] for year in years_in(found.spans) if year in axis.years)
    start, end = found.window
    low = axis.first if start is None else max(start, axis.first)
    high = axis.last if end is None else min(end, axis.last)
    return sum(after[low - axis.first : high + 1 - axis.first])


def guarded(found: Bounds, after: Sequence[float], axis: Axis) -> Bounds:
    """The same, but a window of less than half of the posterior is withheld and a weak one is “probably”."""
    if found.window is None:
        return found
    share = held(found, after, axis)
    if share < HEADLINE_LEAST:
        return replace(found, window=None, years=None, probably=False)
    return replace(found, probably=True) if share < HEADLINE_SURE else found


class Peak(NamedTuple):
    """Where the posterior is highest: one year that stands out, or a run of level years; else neither."""

    best: int | None = None
    level: tuple[int, int] | None = None

    @property
    def words(self) -> str:
        """As a person says it, beside the window."""
        if self.best is not None:
            return f"most likely {self.best}"
        return f"evenly likely {self.level[0]}–{self.level[1]}" if self.level else ""


def peak(posterior: Sequence[float], axis: Axis, window: Window | None) -> Peak:
    """The highest years of a scaled posterior beside a stated window; nothing without one.

    A year stands out where every other is at most ``STANDS_OUT`` as likely. Level years follow each other,
    are within ``LEVEL_WITHIN`` of the highest, hold half of the posterior, and do not run on to a side that
    nothing bounds: there the evidence falls off nowhere, even if the prior does.
    """
    if window is None:
        return Peak()
    highest = max(posterior)
    least = highest * (1 - LEVEL_WITHIN)
    low = high = posterior.index(highest)
    while low > 0 and posterior[low - 1] >= least:
        low -= 1
    while high < len(posterior) - 1 and posterior[high + 1] >= least:
        high += 1
    top = (axis.first + low, axis.first + high)
    if sum(map(least.__le__, posterior)) > high - low + 1 or _runs_on(posterior, axis, window, top):
        return Peak()
    if low == high:
        others = max((*posterior[:low], *posterior[high + 1 :]), default=0.0)
        return Peak(best=top[0]) if others <= STANDS_OUT * highest else Peak()
    return Peak(level=top) if sum(posterior[low : high + 1]) >= HEADLINE_LEAST else Peak()


def _runs_on(posterior: Sequence[float], axis: Axis, window: Window, top: tuple[int, int]) -> bool:
    before, after = range(axis.first, top[0]), range(top[1] + 1, axis.last + 1)
    return (window.start is None and _level(posterior, axis, before, top[0])) or (
        window.end is None and _level(posterior, axis, after, top[1])
    )


def _level(posterior: Sequence[float], axis: Axis, years: range, edge: int) -> bool:
    """Whether the evidence (posterior ÷ prior) holds its height over all the years."""
    first = axis.first
    height = posterior[edge - first] / axis.prior[edge - first] * (1 - PLATEAU)
    return all(posterior[y - first] >= height * axis.prior[y - first] for y in years)


UNDATED = "not yet dated"
DISAGREE = "the evidence disagrees"
PROBABLY = "probably "  # before a window, and the age that follows from it


def in_words(found: Bounds) -> str:
    """How a person says it."""
    if found.disagree:
        return DISAGREE
    if found.window is None:
        return UNDATED
    start, end = found.window
    if found.years:
        words = "one of " + ", ".join(map(str, found.years))
    elif start is None:
        words = f"before {(end or 0) + 1}"  # the window holds its last year
    elif end is None:
        words = f"{start} or later"
    elif start == end:
        words = f"{start}"
    else:
        words = f"about {start} to {end}"
    return f"{PROBABLY}{words}" if found.probably else words


def age(found: Bounds, this_year: int) -> tuple[int | None, int | None] | None:
    """Least and greatest age in years; None on a side that nothing found, None where there is no window."""
    if found.window is None:
        return None
    start, end = found.window
    return (None if end is None else this_year - end), (None if start is None else this_year - start)


def age_words(found: Bounds, this_year: int) -> str:
    """The age as a person says it, no surer than the years it follows from; empty where there is none."""
    ages = age(found, this_year)
    if ages is None:
        return ""
    least, most = ages
    if found.years:
        listed = [str(this_year - year) for year in reversed(found.years)]
        words = f"{', '.join(listed[:-1])} or {listed[-1]} years old"
    elif least is None:
        words = f"at most {years_old(most or 0)}"
    elif most is None:
        words = f"at least {years_old(least)}"
    else:
        words = years_old(least) if least == most else f"about {least} to {most} years old"
    return f"{PROBABLY}{words}" if found.probably else words


def years_old(years: int) -> str:
    """A number of years, in the right number."""
    return f"{years} year old" if years == 1 else f"{years} years old"


def in_edtf(found: Bounds) -> str | None:
    """The window as EDTF; “probably” becomes its mark of doubt."""
    if found.window is None:
        return None
    doubt = "?" if found.probably else ""
    if found.years:
        return edtf.write_years(found.years, doubt)
    return edtf.write(*found.window, doubt, doubt)


def span_words(spans: Spans) -> str:
    """A set of years in words."""
    start, end = ends(spans)
    if not spans:
        return "no year"
    if start is None and end is None:
        return "any year"
    if start is None or end is None:
        return f"to {end}" if start is None else f"{start} on"
    if len(spans) > 1:
        years = years_in(spans)
        if len(years) <= 12:
            return ", ".join(map(str, years))
        return ", ".join(f"{a}–{b}" if a < b else f"{a}" for a, b in spans)
    return f"{start}–{end}" if start < end else f"{start}"
