"""Table loader: the rows of a CSV file as typed values; a row without source or basis does not load.

Every table of facts stands in a folder with its own ``sources.csv``, beside the code that uses it. A row
names its sources (keys of that file) and its basis; what is refused says file, row and column.
"""

import csv
import hashlib
import io
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import isfinite
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from .checks import ReferenceError, nearest

OLDEST, NEWEST = 1000, 2999
# What a row may rest on, and what that is called on a page.
BASIS_WORDS = {
    "published": "published",
    "memory": "from memory, check",
    "computed": "computed",
    "common": "common practice",
    "ours": "our own suggestion",
}

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure was read."""

    key: str
    author: str
    year: str
    title: str
    published_in: str = ""
    kind: str = ""

    @property
    def words(self) -> str:
        """Author, title and year as a reader expects them."""
        parts = [part for part in (self.author, self.title) if part]
        return ", ".join(parts) + (f" ({self.year})" if self.year else "")

    @property
    def short(self) -> str:
        """Author and year, where there is no room for more."""
        return " ".join(part for part in (self.author, self.year) if part)


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a row rests on: its sources, and the basis (a key of BASIS_WORDS)."""

    sources: tuple[Source, ...]
    basis: str


class Cells:
    """The cells of one row, and where it stands, so that a refusal can say so."""

    def __init__(self, file: str, row: str, values: Mapping[str, object]) -> None:
        self.file = file
        self.row = row
        self._values = values

    def refuse(self, field: str, message: str) -> ReferenceError:
        """The error to raise for a field of this row."""
        return ReferenceError(self.file, self.row, field, message)

    def check_columns(self, required: frozenset[str], optional: frozenset[str]) -> None:
        """Every required column is there and none is unknown."""
        for field in sorted(required - self._values.keys()):
            raise self.refuse(field, "the column is missing")
        for field in sorted(str(k) for k in self._values.keys() - required - optional):
            raise self.refuse(field, "no such column" + nearest(field, required | optional))

    def check_length(self) -> None:
        """No cell is missing at the end of the row."""
        for field, value in self._values.items():
            if value is None:
                raise self.refuse(field, "the cell is missing")

    def text(self, field: str, default: str = "", needed: bool = False) -> str:
        """The cell as trimmed text; ``None`` and a missing column are the default."""
        value = self._values.get(field)
        if isinstance(value, dict | list | float):
            raise self.refuse(field, "expected text")
        words = default if value is None else str(value).strip()
        if needed and not words:
            raise self.refuse(field, "may not be empty")
        if len(words) > 2000:
            raise self.refuse(field, "longer than 2,000 characters")
        return words

    def choice(self, field: str, known: tuple[str, ...], default: str) -> str:
        """The cell, which must be one of the known words."""
        word = self.text(field) or default
        if word not in known:
            raise self.refuse(field, f"“{word[:40]}” is not known" + nearest(word, known))
        return word

    def year(self, field: str) -> int | None:
        """The cell as a year; blank is open."""
        word = self.text(field)
        if not word:
            return None
        if not (word.isascii() and word.isdigit()) or not OLDEST <= int(word[:9]) <= NEWEST:
            raise self.refuse(field, f"“{word[:20]}” is not a year")
        return int(word)

    def flag(self, field: str) -> bool:
        """The cell as yes or no; blank is no."""
        word = self.text(field).lower()
        if word not in {"", "true", "false"}:
            raise self.refuse(field, f"“{word[:20]}” is neither true nor false")
        return word == "true"

    def several(self, field: str) -> tuple[str, ...]:
        """A cell of several values joined by semicolons."""
        return tuple(part.strip() for part in self.text(field).split(";") if part.strip())

    def in_order(self, **years: int | None) -> None:
        """The given years (in the order given) never go back."""
        known = [(field, year) for field, year in years.items() if year is not None]
        for (before, early), (after, late) in zip(known, known[1:], strict=False):
            if early > late:
                raise self.refuse(after, f"years out of order: {late} is before {before} {early}")

    def number(self, field: str, least: float = 0.0) -> float:
        """The cell as a finite number, not below ``least``."""
        word = self.text(field, needed=True)
        try:
            value = float(word)
        except ValueError:
            raise self.refuse(field, f"“{word[:20]}” is not a number") from None
        if not isfinite(value) or value < least:
            raise self.refuse(field, f"{word[:20]} is not a number from {least:g}")
        return value

    def whole(self, field: str, least: int = 0) -> int:
        """The cell as a whole number, not below ``least``."""
        value = self.number(field, least)
        if value != int(value):
            raise self.refuse(field, f"{value:g} is not a whole number")
        return int(value)

    def yes(self, field: str) -> bool:
        """The cell as yes or no."""
        return self.choice(field, ("yes", "no"), "") == "yes"

    def one_of(self, field: str, known: Collection[str]) -> str:
        """The cell, which must be a key of another table."""
        word = self.text(field)
        if word not in known:
            raise self.refuse(field, f"“{word[:40]}” is not known" + nearest(word, known))
        return word

    def source_keys(self, known: Collection[str]) -> tuple[str, ...]:
        """The keys of the source cell, each of which must be known."""
        keys = self.several("source")
        for key in keys:
            if key not in known:
                raise self.refuse("source", f"“{key}” is not in sources.csv")
        return keys

    def grounds(self, known: Mapping[str, Source]) -> Grounds:
        """Sources and basis of the row; “published” needs a source, the other bases say what they are."""
        keys = self.source_keys(known)
        basis = self.choice("basis", tuple(BASIS_WORDS), "")
        if basis == "published" and not keys:
            raise self.refuse("source", "a published row needs its source")
        return Grounds(tuple(known[key] for key in keys), basis)


def rows_of(name: str, text: str) -> Iterator[Cells]:
    """The rows of a CSV text, numbered as a spreadsheet shows them (the heading is row 1)."""
    reader = csv.DictReader(io.StringIO(text), restkey="(more cells)")
    for number, values in enumerate(reader, 2):
        yield Cells(f"{name}.csv", str(number), values)


def keyed(
    rows: Iterable[Cells], read: Callable[[Cells], Row], key: str, into: dict[str, Row] | None = None
) -> dict[str, Row]:
    """Read rows into a mapping by their id (attribute ``key``), refusing an id that is there already."""
    found = {} if into is None else into
    for cells in rows:
        row = read(cells)
        name = str(getattr(row, key))
        if name in found:
            raise cells.refuse(key, f"“{name}” is there twice")
        found[name] = row
    return found


def read_source(cells: Cells) -> Source:
    """One row of sources.csv: it can be found again, so it has a title and the place it was published in."""
    cells.check_columns(frozenset({"key", "author", "year", "title", "published_in"}), frozenset({"kind"}))
    title, place = cells.text("title", needed=True), cells.text("published_in", needed=True)
    key, author, year = cells.text("key", needed=True), cells.text("author"), cells.text("year")
    return Source(key, author, year, title, place, cells.text("kind"))


def version_of(texts: Iterable[str]) -> str:
    """A short name of exactly these tables."""
    digest = hashlib.sha256()
    for text in texts:
        digest.update(text.replace("\r\n", "\n").encode())
        digest.update(b"\0")
    return digest.hexdigest()[:10]


class FactFolder:
    """The tables of one folder, each read when it is asked for, and the sources they share."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def text(self, name: str) -> str:
        """The text of a table (``methods`` …)."""
        return (self.folder / f"{name}.csv").read_text(encoding="utf-8")

    @cached_property
    def sources(self) -> Mapping[str, Source]:
        """Every source by its key."""
        return MappingProxyType(keyed(rows_of("sources", self.text("sources")), read_source, "key"))

    def rows(self, name: str, columns: Collection[str]) -> Iterator[Cells]:
        """The rows of a table that has exactly these columns, and source and basis, which are checked.

        Raises ReferenceError.
        """
        needed = frozenset({*columns, "source", "basis"})
        for cells in rows_of(name, self.text(name)):
            cells.check_columns(needed, frozenset())
            cells.check_length()
            cells.grounds(self.sources)
            yield cells
