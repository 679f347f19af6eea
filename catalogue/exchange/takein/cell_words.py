"""Cells read as people write them: days, years, words of a list, yes and no. Pure; what may mean two things
is never guessed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache

from catalogue.common.limits import NO_NAME, says_no_name, too_many_letters
from catalogue.common.text import folded
from dating import edtf


class CellRefused(ValueError):
    """A cell that can't be read; the message is one sentence without the cell's place."""


class DayOrder(StrEnum):
    """How a day in figures is written where slashes or dashes leave that open."""

    DAY_FIRST = "day"
    MONTH_FIRST = "month"


class TwoDaysFit(CellRefused):
    """A day such as 3/4/2019, which two people read as two days."""


@dataclass(frozen=True, slots=True)
class WhenSaid:
    """A whole day, or else years in EDTF; `finer` are the words where they say more than the years do."""

    day: date | None = None
    years: str = ""
    finer: str = ""


MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "january jan",
            "february feb",
            "march mar",
            "april apr",
            "may",
            "june jun",
            "july jul",
            "august aug",
            "september sept sep",
            "october oct",
            "november nov",
            "december dec",
        ),
        1,
    )
    for name in names.split()
}
MONTHS_SHOWN = ("", *(name.title() for name in MONTHS if len(name) == 3))
_MONTH = "|".join(sorted(MONTHS, key=len, reverse=True))
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?Z?")
_ISO_MONTH = re.compile(r"(\d{4})[-/.](\d{1,2})")
_DOTTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?('?\d{2}|\d{4})")
_FIGURES = re.compile(r"(\d{1,2})[/-](\d{1,2})[/-]('?\d{2}|\d{4})")
_FIGURES_MONTH = re.compile(r"(\d{1,2})[/.](\d{4})")
_DAY_MONTH = re.compile(rf"(\d{{1,2}})(?:st|nd|rd|th|\.)?[ -](?:of )?({_MONTH})\.?,?[ -]('?\d{{2}}|\d{{4}})")
_MONTH_DAY = re.compile(rf"({_MONTH})\.? (\d{{1,2}})(?:st|nd|rd|th)?,? ('?\d{{2}}|\d{{4}})")
_MONTH_YEAR = re.compile(rf"({_MONTH})\.?,?[ -]('\d{{2}}|\d{{4}})")


def read_when(text: str, order: DayOrder | None, today: date) -> WhenSaid:
    """A day, a month or years. Raises TwoDaysFit where only `order` could tell, else CellRefused."""
    words = " ".join(text.casefold().split())
    for pattern, places in ((_ISO, (3, 2, 1)), (_DOTTED, (1, 2, 3))):
        if found := pattern.fullmatch(words):
            d, m, y = (found[place] for place in places)
            return WhenSaid(_day(_year(y, today), int(m), int(d), text, today))
    if found := _FIGURES.fullmatch(words):
        return WhenSaid(_in_figures(found, text, order, today))
    if found := _DAY_MONTH.fullmatch(words):
        return WhenSaid(_day(_year(found[3], today), MONTHS[found[2]], int(found[1]), text, today))
    if found := _MONTH_DAY.fullmatch(words):
        return WhenSaid(_day(_year(found[3], today), MONTHS[found[1]], int(found[2]), text, today))
    if found := _MONTH_YEAR.fullmatch(words):
        return _month(_year(found[2], today), MONTHS[found[1]], text, today)
    if (found := _ISO_MONTH.fullmatch(words)) and int(found[2]) <= 12:
        return _month(int(found[1]), int(found[2]), text, today)
    if found := _FIGURES_MONTH.fullmatch(words):
        return _month(int(found[2]), int(found[1]), text, today)
    try:
        years = years_as_edtf(text)
    except CellRefused:
        raise CellRefused(
            f"“{_short(text)}” can't be read as a day or a year: write 2019-08-03, 3 Aug 2019, Aug 2019, "
            "2019 or about 1995"
        ) from None
    first = edtf.parse(years).earliest
    if first is not None and first > today.year:
        raise CellRefused(f"“{_short(text)}” is in the future")
    return WhenSaid(years=years)


def _in_figures(found: re.Match[str], text: str, order: DayOrder | None, today: date) -> date:
    first, second, year = int(found[1]), int(found[2]), _year(found[3], today)
    if first <= 12 and second <= 12 and first != second:
        if order is None:
            raise TwoDaysFit(
                f"“{_short(text)}” may be {first} {MONTHS_SHOWN[second]} or {second} {MONTHS_SHOWN[first]}: "
                "say at its column which comes first, day or month"
            )
        month_first = order is DayOrder.MONTH_FIRST
    else:
        month_first = second > 12
    day, month = (second, first) if month_first else (first, second)
    return _day(year, month, day, text, today)


def _year(written: str, today: date) -> int:
    """Of two figures the latest year that is not in the future: nobody dived a hundred years ago."""
    figures = written.lstrip("'")
    if len(figures) == 4:
        return int(figures)
    year = today.year // 100 * 100 + int(figures)
    return year if year <= today.year else year - 100


def _day(year: int, month: int, day: int, text: str, today: date) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        raise CellRefused(f"“{_short(text)}” is no day of the calendar") from None
    if found > today:
        raise CellRefused(f"“{_short(text)}” is in the future")
    return found


def _month(year: int, month: int, text: str, today: date) -> WhenSaid:
    return WhenSaid(years=f"{_day(year, month, 1, text, today).year:04d}", finer=" ".join(text.split()))


_ABOUT = r"(?:c\.?a?\.?|circa|about|around|approx\.?|~)"
_MARK = r"(?P<mark>\?|~|\(\?\))?"
_YEARS_SPAN = re.compile(
    rf"(?P<about>{_ABOUT} ?)?(?P<first>\d{{4}}) ?(?:-|–|—|/|to|until) ?(?P<mid>{_ABOUT} ?)?"
    rf"(?P<last>\d{{4}}|\d{{2}}) ?{_MARK}"
)
_ONE_YEAR = re.compile(rf"(?P<about>{_ABOUT} ?)?(?P<first>\d{{4}}) ?{_MARK}")
_DECADE = re.compile(rf"(?P<about>{_ABOUT} ?)?(?:the )?(?P<first>\d{{3}})0 ?['’]?s ?{_MARK}")
_DECADES = re.compile(
    rf"(?P<about>{_ABOUT} ?)?(?:the )?(?P<first>\d{{3}})0['’]?s ?(?:-|–|—|to) ?"
    rf"(?P<last>\d{{1,3}})0['’]?s ?{_MARK}"
)
_CENTURY = re.compile(rf"(?P<about>{_ABOUT} ?)?(?P<first>\d{{2}})(?:th|st|nd|rd) ?(?:century|c\.?) ?{_MARK}")
_BEFORE = re.compile(r"(?:before|pre|pre-|until|up to|by|not after) ?(\d{4})")
_AFTER = re.compile(r"(?:after|post|post-|since|from|not before) ?(\d{4})|(\d{4}) ?(?:\+|or later|onwards?)")


def years_as_edtf(text: str) -> str:
    """Years as people write them as EDTF: "c. 1926–46" is 1926~/1946~, "1920s?" 192X?. Raises CellRefused."""
    words = " ".join(text.casefold().split())
    for written in (text.strip().upper(), _as_people_write(words)):
        try:
            edtf.parse(written)
        except edtf.EdtfError:
            continue
        return written
    raise CellRefused(f"“{_short(text)}” can't be read as years: write 1930, c. 1926–46, the 1920s or 1920s?")


def _as_people_write(words: str) -> str:
    if found := _BEFORE.fullmatch(words):
        return f"../{int(found[1]) - 1 if words.startswith(('before', 'pre')) else found[1]}"
    if found := _AFTER.fullmatch(words):
        year = int(found[1] or found[2])
        return f"{year + 1 if words.startswith(('after', 'post')) else year}/.."
    if found := _DECADES.fullmatch(words):
        last = found["first"][: 3 - len(found["last"])] + found["last"]
        mark = _mark(found)
        return f"{found['first']}0{mark}/{last}9{mark}"
    if found := _DECADE.fullmatch(words):
        return f"{found['first']}X{_mark(found)}"
    if found := _CENTURY.fullmatch(words):
        return f"{int(found['first']) - 1:02d}XX{_mark(found)}"
    if found := _YEARS_SPAN.fullmatch(words):
        last = found["last"] if len(found["last"]) == 4 else found["first"][:2] + found["last"]
        mark = _mark(found)
        return f"{found['first']}{mark}/{last}{mark or ('~' if found['mid'] else '')}"
    if found := _ONE_YEAR.fullmatch(words):
        return f"{found['first']}{_mark(found)}"
    return ""


def _mark(found: re.Match[str]) -> str:
    about, doubt = bool(found["about"]) or found["mark"] == "~", found["mark"] in ("?", "(?)")
    return "%" if about and doubt else "~" if about else "?" if doubt else ""


YES_WORDS = frozenset(["yes", "y", "true", "1", "x", "✓", "✔", "on"])
NO_WORDS = frozenset(["no", "n", "false", "0", "-", "–", "off"])


def read_yes(text: str) -> bool:
    """Yes or no. Raises CellRefused."""
    word = text.strip().casefold()
    if word in YES_WORDS:
        return True
    if word in NO_WORDS:
        return False
    raise CellRefused(f"“{_short(text)}” is neither yes nor no")


def why_no_name(words: str, longest: int, field: str) -> str:
    """Why a cell is no name of what its column holds; empty where it may be one. Length in letters."""
    if len(words) > longest:
        return too_many_letters(len(words), longest)
    return f"“{words}” names no town: {NO_NAME}" if field == "town" and says_no_name(words) else ""


def read_choice(text: str, choices: Mapping[str, str], also: Mapping[str, str] | None = None) -> str:
    """The key of a choice named by its label, a part of it, its key or another word. Raises CellRefused."""
    words = folded(text).rstrip(".")
    ways = _ways(tuple(choices.items()))
    for word in (words, words.replace("-", " "), words.removesuffix("s")):
        if word in ways:
            return ways[word]
        if also and word in also:
            return also[word]
    some = ", ".join(list(choices.values())[:5])
    raise CellRefused(f"“{_short(text)}” is no word that is known here: write one of {some} …")


@lru_cache(maxsize=64)
def _ways(choices: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Every way to name a choice; what two are called alike is called by its whole label alone."""
    ways: dict[str, str] = {}
    twice: set[str] = set()
    for key, label in choices:
        for word in set(_parts(label)):
            if ways.setdefault(word, key) != key:
                twice.add(word)
    for word in twice:
        del ways[word]
    for key, label in choices:
        ways[folded(label)] = ways[folded(key.replace("-", " "))] = ways[folded(key)] = key
    return ways


def _parts(label: str) -> list[str]:
    plain = folded(label)
    noun = plain.rsplit(" ", 1)[-1]
    parts = re.split(r",? or |, ", plain)
    bare = [part.removesuffix(f" {noun}") for part in parts]
    return [*parts, *bare, *(f"{part} {noun}" for part in bare if part != noun)]


def _short(text: str) -> str:
    one = " ".join(text.split())
    return one if len(one) <= 60 else f"{one[:59]}…"
