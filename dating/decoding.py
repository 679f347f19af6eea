"""Decoding: what characters beside a mark would mean, while the scheme of a maker is being described."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from .case import Case
from .checks import ReferenceError
from .codes import KIND_WORDS, DateCode, digits_read, read_code, works_named, years_allowed
from .constants import AXIS_START
from .facts import Cells
from .schemes import fit
from .years import axis_to

YEARS_LISTED = 12


@dataclass(frozen=True, slots=True)
class Would:
    """The possible years, how to say them (or why it is no year), the works, and the schemes used."""

    years: tuple[int, ...]
    words: str
    works: tuple[str, ...] = ()
    codes: tuple[DateCode, ...] = ()


def what_would(
    text: str,
    codes: Iterable[DateCode | Mapping[str, object]],
    contents: str | None = None,
    bottler: str | None = None,
    product: str | None = None,
    region: str | None = None,
    works: str | None = None,
    this_year: int | None = None,
) -> Would:
    """What the characters would mean under the most specific scheme that fits (rows or their columns)."""
    year = this_year or date.today().year
    case = Case(
        contents=contents, bottler=bottler, product=product, region=region, works=works, this_year=year
    )
    try:
        rows = [row if isinstance(row, DateCode) else _scheme(row, n) for n, row in enumerate(codes, 1)]
    except ReferenceError as error:
        return Would((), f"{error.field}: {error.message}")
    last = axis_to(case.last_year).last
    allowed = {code: years_allowed(code, text, AXIS_START, last) for code in rows}
    fits = [code for code in rows if code.kind != "other" and fit(code, case, None)]
    most = max((code.bindings for code in fits), default=0)
    used = [code for code in fits if code.bindings == most]
    if not any(allowed[code] for code in used):
        unsure = [code for code in rows if allowed[code] and fit(code, case, None) is None]
        used = unsure or used
    years = tuple(sorted({year for code in used for year in allowed[code]}))
    named = tuple(dict.fromkeys(name for code in used for name in works_named(code, text)))
    return Would(years, _year_words(text, years, used), named, tuple(used))


def _scheme(row: Mapping[str, object], number: int) -> DateCode:
    plain = {**row, "mark_ids": "", "id": row.get("id") or f"scheme {number}"}
    return read_code(Cells("own date codes", str(plain["id"]), plain), None, {})


def _year_words(text: str, years: tuple[int, ...], used: list[DateCode]) -> str:
    shown = text.strip()[:40]
    if len(years) > YEARS_LISTED:
        between = f"{years[0]} to {years[-1]}"
        return f"one of {len(years)} years from {between}: say from when to when the code was used"
    if years:
        listed = [str(year) for year in years]
        return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} or {listed[-1]}"
    if not used:
        return "no scheme that could be read here"
    if not digits_read(text) and not any(code.kind == "dot-table" for code in used):
        return "nothing to read"
    due = " or ".join(dict.fromkeys(KIND_WORDS[code.kind] for code in used))
    return (
        f"{shown} is not {due} within the years of the code: a mould or catalogue number, which does not date"
    )
