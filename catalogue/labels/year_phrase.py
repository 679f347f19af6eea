"""A phrase of years made shorter by rule: no year is ever cut, and no doubt is ever lost. Pure.

The phrases are those that `dating.window.in_words` makes; of any other text there is no shorter form.
"""

import re
from collections.abc import Sequence
from typing import Final

_PHRASE: Final = re.compile(
    r"(?P<doubt>probably )?(?:one of (?P<listed>\d{3,4}(?:, \d{3,4})+)"
    r"|about (?P<start>\d{3,4}) to (?P<end>\d{3,4})|(?P<least>\d{3,4}) or later"
    r"|(?P<alone>(?:before )?\d{3,4}))(?P<told_of> \(\d+ of \d+ dated\))?"
)
_FEWEST_SUMMED: Final = 4  # of so many years that a code leaves, the first and the last may stand for all
SHORT_DOUBT: Final = "prob. "


def shorter_phrases(words: str) -> tuple[str, ...]:
    """The phrase and its shorter forms, the longest first.

    "one of 1926, 1936, 1946": "one of 1926, 36, 46", then "1926, 36, 46". "probably about 1926 to 1929":
    "probably c. 1926–29", then "prob. c. 1926–29".
    Of how many pieces the years of a group are told stays as it is.
    """
    found = _PHRASE.fullmatch(words.strip())
    if not found:
        return (words,)
    doubt = found["doubt"] or ""
    summed = []
    if found["listed"]:
        years = [int(year) for year in found["listed"].split(", ")]
        forms = [f"one of {(listed := _listed(years))}", listed]
        if len(years) >= _FEWEST_SUMMED:
            summed = [f"one of {len(years)}, {_span(years[0], years[-1])}"]
    elif found["start"]:
        forms = [f"c. {_span(int(found['start']), int(found['end']))}"]
    elif found["least"]:
        forms = [f"from {found['least']}"]
    else:
        forms = [found["alone"]]
    every = [words.strip(), *(doubt + form for form in forms)]
    if doubt:
        every += [SHORT_DOUBT + form for form in forms]
    every += [doubt + form for form in summed]
    told_of = found["told_of"] or ""
    return tuple(dict.fromkeys([every[0], *(form + told_of for form in every[1:])]))


def _listed(years: Sequence[int]) -> str:
    """ "1896, 1902, 06": a year of the same century as the one before it by its last two figures."""
    return ", ".join(
        str(year) if before is None else _after(before, year)
        for before, year in zip([None, *years], years, strict=False)
    )


def _span(start: int, end: int) -> str:
    return f"{start}–{_after(start, end)}"


def _after(before: int, year: int) -> str:
    return f"{year % 100:02}" if year // 100 == before // 100 and year > before else str(year)
