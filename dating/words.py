"""The window in words, as an age, and as EDTF."""

from . import edtf
from .window import Bounds

UNDATED = "not yet dated"
DISAGREE = "the evidence disagrees"


def in_words(bounds: Bounds) -> str:
    """How a person says it."""
    if bounds.disagree:
        return DISAGREE
    if bounds.window is None:
        return UNDATED
    start, end = bounds.window
    if bounds.years:
        words = "one of " + ", ".join(map(str, bounds.years))
    elif start is None:
        words = f"before {(end or 0) + 1}"  # the window holds its last year
    elif end is None:
        words = f"{start} or later"
    elif start == end:
        words = f"{start}"
    else:
        words = f"about {start} to {end}"
    return f"probably {words}" if bounds.probably else words


def age(bounds: Bounds, this_year: int) -> tuple[int | None, int | None] | None:
    """Least and greatest age in years; None on a side that nothing bounds, None where there is no window."""
    if bounds.window is None:
        return None
    start, end = bounds.window
    return (None if end is None else this_year - end), (None if start is None else this_year - start)


def age_words(bounds: Bounds, this_year: int) -> str:
    """The age as a person says it; empty where there is none."""
    ages = age(bounds, this_year)
    if ages is None:
        return ""
    least, most = ages
    if bounds.years:
        listed = [str(this_year - year) for year in reversed(bounds.years)]
        return f"{', '.join(listed[:-1])} or {listed[-1]} years old"
    if least is None:
        return f"at most {years_old(most or 0)}"
    if most is None:
        return f"at least {years_old(least)}"
    return years_old(least) if least == most else f"about {least} to {most} years old"


def years_old(years: int) -> str:
    """A number of years, in the right number."""
    return f"{years} year old" if years == 1 else f"{years} years old"


def in_edtf(bounds: Bounds) -> str | None:
    """The window as EDTF; “probably” becomes its mark of doubt."""
    if bounds.window is None:
        return None
    doubt = "?" if bounds.probably else ""
    if bounds.years:
        return edtf.write_years(bounds.years, doubt)
    return edtf.write(*bounds.window, doubt, doubt)
