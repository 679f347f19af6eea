"""Years as typed and in words: from and to, as a person says them; the likely years of an answer. Pure."""

import re

import dating
from catalogue.common.limits import EARLIEST_YEAR

from .stored_answer import NO_YEARS

MOST_LIKELY_YEARS = 200  # a wider range tells nobody anything
MOST_RUNS = 4
EDTF_DECADE = re.compile(r"(\d{3})X")
EDTF_ABOUT = re.compile(r"(\d{4})~")
EDTF_SPAN = re.compile(r"(\d{4})/(\d{4})")


def span_words(
    first: int | None, last: int | None, *, about_first: bool = False, about_last: bool = False
) -> str:
    """ "1905 to about 1920", "1930 or later", "until about 1950", "1925", "years not recorded"."""
    start = f"about {first}" if about_first else f"{first}"
    end = f"about {last}" if about_last else f"{last}"
    if first is None and last is None:
        return "years not recorded"
    if last is None:
        return f"{start} or later"
    if first is None:
        return f"until {end}"
    return start if first == last else f"{start} to {end}"


def business_words(first: int | None, last: int | None) -> str:
    """ "1884 to 1951", "from 1884", "until 1951"; empty where neither is on record."""
    if first is None and last is None:
        return ""
    if last is None:
        return f"from {first}"
    if first is None:
        return f"until {last}"
    return f"{first}" if first == last else f"{first} to {last}"


def came_up_words(written: str) -> str:
    """When it came up, from EDTF as people would type it: "the 1990s", "about 1995", "1990 to 1999".

    Anything else stays as written; the form reads each of these back as the same EDTF.
    """
    if found := EDTF_DECADE.fullmatch(written):
        return f"the {found[1]}0s"
    if found := EDTF_ABOUT.fullmatch(written):
        return f"about {found[1]}"
    if found := EDTF_SPAN.fullmatch(written):
        return f"{found[1]} to {found[2]}"
    return written


def made_line(words: str) -> str:
    """The years as a line of their own: "Made: about 1870 to 1890", "Not yet dated"."""
    if words in NO_YEARS or words.startswith("not "):
        return words[:1].upper() + words[1:]
    return f"Made: {words}"


def likely_years_words(finding: dating.Finding) -> str:
    """The years that hold nine tenths of the chance: "1905–1915"; empty where they say nothing new.

    Beside a window that is not stated they would gainsay it.
    """
    if finding.window is None:
        return ""
    runs = [(run.start, run.end) for run in finding.likely]
    if finding.years or not runs or len(runs) > MOST_RUNS:
        return ""
    if sum(last - first + 1 for first, last in runs) > MOST_LIKELY_YEARS:
        return ""
    if runs == [tuple(finding.window)]:
        return ""
    return ", ".join(span(first, last) for first, last in runs)


def span(first: int, last: int) -> str:
    """1920 or 1920–1935."""
    return str(first) if first == last else f"{first}–{last}"


def year_typed(typed: str, this_year: int) -> int | None:
    """The year in an address, of four figures and not later than this one; None for anything else."""
    if len(typed) != 4 or not (typed.isascii() and typed.isdigit()):
        return None
    return int(typed) if EARLIEST_YEAR <= int(typed) <= this_year else None
