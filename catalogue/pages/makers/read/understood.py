"""What was typed, divided into mark, characters beside it and the rest; what the person corrected wins."""

from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

import dating
from catalogue.common.limits import FIRST_YEAR
from catalogue.pages.parts.mark_said import SIDES, mark_said

LONGEST = 400
PARTS = ("letters", *SIDES)


@dataclass(slots=True)
class Understood:
    """A reading for the dating service, the words left over, and the address that says it part by part."""

    text: str
    mark: dict[str, Any]
    rest: str
    years: tuple[int | None, int | None] | None
    parts: QueryDict
    trouble: dict[str, str] = field(default_factory=dict)


def understood(query: QueryDict, reference: dating.Reference, this_year: int) -> Understood:
    """Read an address. `text` is the whole inscription; letters and sides said apart from it win over it."""
    parts = query.copy()
    for key in (*PARTS, "text", "rest"):
        if "\x00" in parts.get(key, ""):
            parts[key] = parts[key].replace("\x00", "")
    text = parts.get("text", "").strip()[:LONGEST]
    rest = parts.get("rest", "").strip()[:LONGEST]
    # corrected by hand: the text is not divided anew
    if text and not any(parts.get(key, "").strip() for key in PARTS):
        rest = _divide(text, parts, reference)
    parts.pop("text", None)
    trouble: dict[str, str] = {}
    years = _years(query, this_year, trouble)
    return Understood(text, mark_said(parts, reference), rest, years, parts, trouble)


def _divide(text: str, parts: QueryDict, reference: dating.Reference) -> str:
    """Put the parts of an inscription into the address; returns what is left of it."""
    read = dating.parse_inscription(text, reference)
    letters, rest = read.letters, read.rest
    if not letters and rest == text and " " not in text and any(c.isalpha() for c in text):
        letters, rest = text, ""  # one word alone is taken for the mark
    parts["letters"] = letters
    for side in SIDES:
        if getattr(read, side):
            parts[side] = getattr(read, side)
    if read.ampersand and not parts.get("arrangement"):
        parts["arrangement"] = "with-ampersand"
    if not letters and read.digits:
        rest = " / ".join(filter(None, (read.digits, rest)))
    return rest


def _years(query: QueryDict, this_year: int, trouble: dict[str, str]) -> tuple[int | None, int | None] | None:
    found: dict[str, int | None] = {"from": None, "to": None}
    for key in found:
        typed = query.get(key, "").strip()
        if typed.isascii() and typed.isdigit() and FIRST_YEAR <= int(typed[:6]) <= this_year:
            found[key] = int(typed)
        elif typed:
            trouble[key] = f"Give a year from {FIRST_YEAR} to {this_year}."
    low, high = found["from"], found["to"]
    if low and high and low > high:
        trouble["to"] = "This is before the first year."
        return None
    return None if low is high is None else (low, high)
