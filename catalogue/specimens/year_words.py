"""Years from and to, as a person says them."""

import re

from .stored_answer import NO_YEARS

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
