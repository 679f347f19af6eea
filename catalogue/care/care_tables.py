"""The facts of care as tables: methods, gates, which goes with which, and their sources.

Pure: reads the CSV files beside it. A row whose source or method is not known does not load.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

REFERENCE = Path(__file__).resolve().parent / "reference"
# What a basis is called on the page.
BASIS_WORDS = {
    "published": "published",
    "memory": "from memory, check",
    "computed": "computed",
    "common": "common practice",
    "ours": "our own suggestion",
}
TOKENS = {"all_soaks": "soak", "all_acids": "acid", "all_cleaning": "cleaning"}
UNIVERSAL = "any"


class TableError(ValueError):
    """A row that can't be; the message names file and row."""


@dataclass(frozen=True, slots=True)
class Why:
    """A reason with where it comes from."""

    words: str
    sources: tuple[str, ...]
    basis: str
    keys: tuple[str, ...] = ()

    @property
    def source_words(self) -> str:
        """Basis and, short, who said it: beside the thing itself there is room for no more."""
        named = [short_sources()[key] for key in self.keys if key not in ("ours", "common")]
        return f"{BASIS_WORDS[self.basis]}: {'; '.join(named)}" if named else BASIS_WORDS[self.basis]


@dataclass(frozen=True, slots=True)
class Method:
    """One thing that can be done; the lower `effort`, the less it takes away."""

    key: str
    name: str
    effort: int
    groups: frozenset[str]
    logs_as: str
    what: str
    strength: str
    lasts: str
    mind: str
    why: Why

    @property
    def never(self) -> bool:
        """Whether it is never planned here; what was in fact done can still be written down."""
        return "never" in self.groups


@dataclass(frozen=True, slots=True)
class Gate:
    """Something to look for before a piece is treated."""

    key: str
    name: str
    look_for: str
    stops: str
    override: bool
    then_plain: bool
    why: Why

    @property
    def by_eye(self) -> bool:
        """Whether somebody looks for it on the piece (the others follow from the record)."""
        return bool(self.look_for)


@dataclass(frozen=True, slots=True)
class Row:
    """What goes with a condition, an amount of growth and a look."""

    condition: str
    growth: str
    look: str
    recommended: frozenset[str]
    allowed: frozenset[str]
    forbidden: frozenset[str]
    why: Why


@dataclass(frozen=True, slots=True)
class Tables:
    methods: Mapping[str, Method]
    gates: Mapping[str, Gate]
    rows: tuple[Row, ...]


def read_rows(name: str) -> list[dict[str, str]]:
    """The rows of one table as they stand. Raises TableError for a row of the wrong length."""
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for place, row in enumerate(rows, 2):
        if None in row or None in row.values():
            raise TableError(f"{name}, row {place}: the number of columns is wrong.")
    return rows


@lru_cache(maxsize=1)
def sources() -> dict[str, str]:
    """Every source as a page names it, by its key."""
    return {
        row["key"]: ", ".join(part for part in (short_sources()[row["key"]], row["title"]) if part)
        for row in read_rows("sources.csv")
    }


@lru_cache(maxsize=1)
def short_sources() -> dict[str, str]:
    """Author and year of every source, by its key."""
    return {
        row["key"]: " ".join(part for part in (row["author"], row["year"]) if part)
        for row in read_rows("sources.csv")
    }


def why_of(name: str, place: int, row: Mapping[str, str], words: str) -> Why:
    """Reason, sources and basis of a row. Raises TableError where one is not known."""
    keys = [key for key in row["source"].split(";") if key]
    unknown = [key for key in keys if key not in sources()]
    if unknown or row["basis"] not in BASIS_WORDS or (row["basis"] == "published" and not keys):
        raise TableError(f"{name}, row {place}: no known source or basis ({unknown or row['basis']!r}).")
    return Why(words, tuple(sources()[key] for key in keys), row["basis"], tuple(keys))


@lru_cache(maxsize=1)
def care_tables() -> Tables:
    """All of it, checked against each other. Raises TableError."""
    methods = {}
    for place, row in enumerate(read_rows("methods.csv"), 2):
        methods[row["key"]] = Method(
            row["key"],
            row["name"],
            int(row["effort"]),
            frozenset(row["groups"].split()),
            row["logs_as"],
            row["what"],
            row["strength"],
            row["lasts"],
            row["mind"],
            why_of("methods.csv", place, row, row["mind"]),
        )
    gates = {}
    for place, row in enumerate(read_rows("gates.csv"), 2):
        gates[row["key"]] = Gate(
            row["key"],
            row["name"],
            row["look_for"],
            row["stops"],
            row["override"] == "yes",
            row["then_plain"] == "yes",
            why_of("gates.csv", place, row, row["reason"]),
        )
    rows = tuple(
        Row(
            _known(row["condition"], {*gates, "plain"}, place),
            row["growth"],
            row["look"],
            _methods(row["recommended"], methods, place),
            _methods(row["allowed"], methods, place),
            _methods(row["forbidden"], methods, place),
            why_of("decision.csv", place, row, row["reason"]),
        )
        for place, row in enumerate(read_rows("decision.csv"), 2)
    )
    return Tables(methods, gates, rows)


def _methods(cell: str, methods: Mapping[str, Method], place: int) -> frozenset[str]:
    """Keys in a cell, with groups such as `all_acids` and `immersion` spelled out."""
    keys: set[str] = set()
    for word in cell.split():
        group = TOKENS.get(word, word)
        of_group = {key for key, method in methods.items() if group in method.groups}
        keys |= of_group if word in TOKENS or word == "immersion" else {_known(word, set(methods), place)}
    return frozenset(keys)


def _known(word: str, known: set[str], place: int) -> str:
    if word not in known:
        raise TableError(f"decision.csv, row {place}: {word!r} is not known.")
    return word
