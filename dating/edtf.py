"""EDTF (ISO 8601-2 Annex A) at the level of years: what a time of making needs, in and out.

Understood: 1937, 193X, 19X3, a qualifier ~ ? % at the right, intervals with open (..) and unknown (blank)
ends, one-of sets, 1950S2. Anything finer than a year is refused, plainly.
Source: the published specification of 2019.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from .checks import EdtfError

LONGEST_SET = 400

__all__ = ["EdtfError", "Years", "parse", "write", "write_years"]


@dataclass(frozen=True, slots=True)
class Years:
    """First and last year (None open or unknown) and, where they can be listed, the candidates."""

    earliest: int | None
    latest: int | None
    candidates: tuple[int, ...] | None = None
    start_approximate: bool = False
    start_uncertain: bool = False
    end_approximate: bool = False
    end_uncertain: bool = False
    start_unknown: bool = False
    end_unknown: bool = False

    @property
    def separate(self) -> tuple[int, ...]:
        """The candidate years where they leave gaps, else nothing."""
        years = self.candidates or ()
        return years if years and len(years) < years[-1] - years[0] + 1 else ()


_YEAR = re.compile(r"(?P<digits>-?[0-9X]{4})(?:S(?P<figures>[1-4]))?(?P<mark>[?~%]?)")
_FINER = re.compile(r"[?~%]?-?[0-9X]{4}[?~%]?-[?~%]?[0-9X]{2}[?~%]?(-[?~%]?[0-9X]{2}[?~%]?)?")


def parse(text: str) -> Years:
    """The years of a string; raises EdtfError with the reason."""
    if not text:
        raise EdtfError("an empty string says nothing")
    if text[0] == "{" and text[-1] == "}":
        raise EdtfError("all of a set of years ({…}) is no time of making: write one of them with [ ]")
    if "[" in text or "]" in text:
        return _set(text)
    if text.count("/") == 1:
        return _interval(*text.split("/"))
    if text.count("/"):
        raise EdtfError("a slash separates the two ends of an interval and nothing else")
    return _year(text)


def _refusal(text: str) -> str:
    if re.fullmatch(r"\d{4}-\d{4}", text):
        return f"“{text}”: the ends of an interval are separated by a slash, as in 1940/1952"
    if _FINER.fullmatch(text):
        return _finer_refusal(text)
    if text[:1] == "Y" or re.fullmatch(r"-?\d{5,}.*", text):
        return f"“{text}”: years of more than four digits are not taken here"
    if text.endswith("s"):
        return f"“{text}”: a decade is written 193X"
    if "u" in text or "x" in text:
        return f"“{text}”: a figure that is not known is a capital X"
    if text.endswith(("?~", "~?")):
        return f"“{text}”: uncertain and approximate together is %"
    if text in {"open", "unknown"}:
        return f"“{text}”: an open end is written .., an unknown one is left blank"
    if ".." in text:
        return f"“{text}”: two points join years only within [ ]"
    if "," in text or ";" in text:
        return f"“{text}”: a choice of years is written [1926,1936]"
    return f"“{text}” is no year: four figures are expected, as in 1937"


def _finer_refusal(text: str) -> str:
    numbers = re.sub(r"[?~%]", "", text).lstrip("-").split("-")[1:]
    if "X" not in "".join(numbers):
        month = int(numbers[0])
        if not (1 <= month <= 12 or 21 <= month <= 41):
            return f"“{text}”: {month:02d} is neither a month nor a season"
        if len(numbers) == 2 and not 1 <= int(numbers[1]) <= 31:
            return f"“{text}”: there is no such day"
    return f"“{text}” is finer than a year; a time of making is kept in years"


def _year(text: str) -> Years:
    match = _YEAR.fullmatch(text)
    if not match or match["digits"] == "-0000":
        raise EdtfError(_refusal(text))
    digits, mark = match["digits"], match["mark"]
    sign, figures = (-1, digits[1:]) if digits[0] == "-" else (1, digits)
    if match["figures"]:
        if "X" in figures:
            raise EdtfError(f"“{text}”: significant figures and X do not go together")
        figures = figures[: int(match["figures"])].ljust(4, "X")
    low, high = sorted((sign * int(figures.replace("X", "0")), sign * int(figures.replace("X", "9"))))
    years: tuple[int, ...] | None = None
    if figures.count("X") < 4:
        shape = re.compile(figures.replace("X", "."))
        years = tuple(y for y in range(low, high + 1) if shape.fullmatch(f"{abs(y):04d}"))
    approximate, uncertain = mark in {"~", "%"} and bool(mark), mark in {"?", "%"} and bool(mark)
    return Years(low, high, years, approximate, uncertain, approximate, uncertain)


def _interval(before: str, after: str) -> Years:
    if before in ("", "..") and after in ("", ".."):
        raise EdtfError("an interval without either end says nothing")
    start = None if before in ("", "..") else _year(before)
    end = None if after in ("", "..") else _year(after)
    earliest = start.earliest if start else None
    latest = end.latest if end else None
    if earliest is not None and latest is not None and latest < earliest:
        raise EdtfError(f"the interval ends in {latest}, before it begins in {earliest}")
    return Years(
        earliest,
        latest,
        (earliest,) if earliest is not None and earliest == latest else None,
        bool(start and start.start_approximate),
        bool(start and start.start_uncertain),
        bool(end and end.end_approximate),
        bool(end and end.end_uncertain),
        before == "",
        after == "",
    )


def _set(text: str) -> Years:
    if text[0] != "[" or text[-1] != "]" or text.count("[") != 1 or text.count("]") != 1:
        raise EdtfError("a choice of years begins with [ and ends with ]")
    members: set[int] = set()
    low_open = high_open = False
    approximate = uncertain = False
    parts = text[1:-1].split(",")
    for number, part in enumerate(parts):
        before, dots, after = part.strip().partition("..")
        if dots and not before and number == 0 and after:
            low_open = True
            first = last = _year(after)
        elif dots and not after and number == len(parts) - 1 and before:
            high_open = True
            first = last = _year(before)
        elif dots and not (before and after):
            raise EdtfError("an open end stands first or last in a choice of years")
        else:
            first = _year(before)
            last = _year(after) if dots else first
        approximate = approximate or first.start_approximate or last.start_approximate
        uncertain = uncertain or first.start_uncertain or last.start_uncertain
        a, b = first.earliest or 0, last.latest or 0
        if b < a:
            raise EdtfError(f"“{part.strip()}” runs backwards")
        if b - a > LONGEST_SET:
            raise EdtfError(f"“{part.strip()}” holds too many years to list")
        members.update(first.candidates or () if first is last else range(a, b + 1))
    years = tuple(sorted(members))
    return Years(
        None if low_open else years[0],
        None if high_open else years[-1],
        None if low_open or high_open else years,
        approximate,
        uncertain,
        approximate,
        uncertain,
    )


def write(start: int | None, end: int | None, start_mark: str = "", end_mark: str = "") -> str:
    """A window as EDTF; None is an open end. Raises EdtfError where both are open or they run backwards."""
    if start is None and end is None:
        raise EdtfError("a window without either end cannot be written")
    if start is not None and end is not None and end < start:
        raise EdtfError(f"the window ends in {end}, before it begins in {start}")
    if start == end:
        return f"{start:04d}{start_mark}"
    left = ".." if start is None else f"{start:04d}{start_mark}"
    right = ".." if end is None else f"{end:04d}{end_mark}"
    return f"{left}/{right}"


def write_years(years: Iterable[int], mark: str = "") -> str:
    """One of several years as EDTF: ``[1926,1936,1946]``; a long run of neighbours as ``1926..1930``."""
    listed = sorted(set(years))
    if not listed:
        raise EdtfError("no year to write")
    if len(listed) == 1:
        return f"{listed[0]:04d}{mark}"
    parts: list[str] = []
    start = 0
    for n in range(1, len(listed) + 1):
        if n == len(listed) or listed[n] != listed[n - 1] + 1:
            run = listed[start:n]
            if len(run) > 2 and not mark:
                parts.append(f"{run[0]:04d}..{run[-1]:04d}")
            else:
                parts += [f"{year:04d}{mark}" for year in run]
            start = n
    return f"[{','.join(parts)}]"
