"""Years known from elsewhere as an address says them: several, each with what, when and who says so.

The keys of the second are numbered (`after2`, `before2`, `why2` …), so that none can slip into another.
"""

from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

from catalogue.common.limits import FIRST_YEAR
from dating import edtf

from .recovered import as_edtf

MOST = 6
YOURS = "your own word"
NAMES = ("why", "after", "before", "when", "source")


@dataclass(slots=True)
class KnownSaid:
    """One row: what was typed, its keys in the address, and what the dating service gets of it."""

    number: int
    typed: dict[str, str]
    row: dict[str, Any] = field(default_factory=dict)
    trouble: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(key_of(name, self.number) for name in NAMES)

    @property
    def suffix(self) -> str:
        return "" if self.number == 1 else str(self.number)

    @property
    def words(self) -> str:
        """How a person says it back."""
        years = self.row.get("edtf") or f"{self.row.get('from') or ''}–{self.row.get('to') or ''}"
        return f"{self.row['what']}: {years}"


def key_of(name: str, number: int) -> str:
    """The key of a part of the row with that number."""
    return name if number == 1 else f"{name}{number}"


def known_said(query: QueryDict, this_year: int) -> list[KnownSaid]:
    """The rows of an address that say anything; one that makes no sense has its trouble and no row."""
    rows = []
    for number in range(1, MOST + 1):
        typed = {name: _typed(query, key_of(name, number)) for name in NAMES}
        if typed["after"] or typed["before"] or typed["when"]:
            rows.append(_read(KnownSaid(number, typed), this_year))
    return rows


def _typed(query: QueryDict, key: str) -> str:
    return query.get(key, "").replace("\x00", "").strip()[:200]


def _read(said: KnownSaid, this_year: int) -> KnownSaid:
    typed = said.typed
    row: dict[str, Any] = {"what": typed["why"] or "known from elsewhere", "source": typed["source"] or YOURS}
    if typed["when"]:
        if typed["after"] or typed["before"]:
            said.trouble = "Give the years in one way: not before and not after, or as written."
            return said
        row["edtf"] = as_edtf(typed["when"])
        try:
            edtf.parse(row["edtf"])
        except edtf.EdtfError as error:
            said.trouble = f"Years as written: {error}."
            return said
        said.row = row
        return said
    for name, key, words in (("after", "from", "Not before"), ("before", "to", "Not after")):
        year = _year(typed[name], this_year)
        if typed[name] and year is None:
            said.trouble = f"{words}: give a year from {FIRST_YEAR} to {this_year}."
            return said
        row[key] = year
    if row["from"] and row["to"] and row["from"] > row["to"]:
        said.trouble = "Not after is earlier than not before. Swap them."
        return said
    said.row = row
    return said


def _year(typed: str, this_year: int) -> int | None:
    sound = typed.isascii() and typed.isdigit() and FIRST_YEAR <= int(typed[:6]) <= this_year
    return int(typed) if sound else None
