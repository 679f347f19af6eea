"""What one row says of a find, read out of its cells; each cell that can't be read is named by its column."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from catalogue.specimens.numbers import Number


@dataclass(frozen=True, slots=True)
class CellProblem:
    """Why a row is refused, and the column it is about, by letters and heading (empty: the whole row)."""

    letters: str
    heading: str
    why: str


@dataclass(frozen=True, slots=True)
class OpinionSaid:
    """One opinion: what about, what is thought, on which day (None: today), which maker is meant."""

    about: str
    value: str
    on: date | None = None
    maker: int | None = None


@dataclass(slots=True)
class WherePlan:
    """Where and when it came up: rows on record by key, or new ones as they would be."""

    dive: int | None = None
    site: int | None = None
    # folded name of a site to be added
    new_site: str = ""
    # day, and the ordinal where the sheet says it
    new_dive: tuple[date, int | None] | None = None
    recovered: str = ""
    words: str = ""


@dataclass(slots=True)
class SiteSaid:
    """A site to be added, as the first row that names it describes it."""

    name: str
    water_body: str = ""
    position: tuple[float, float] | None = None
    uncertainty_m: int | None = None


@dataclass(slots=True)
class RowSaid:
    """Everything that is to be written of one row; of a find on record only what differs."""

    row: int
    digest: str
    number: Number | None = None
    own_number: str = ""
    # columns of the find
    columns: dict[str, Any] = field(default_factory=dict)
    # town, bottler, bottler_town, product, shelf: as typed
    names: dict[str, str] = field(default_factory=dict)
    where: WherePlan | None = None
    site: SiteSaid | None = None
    opinions: list[OpinionSaid] = field(default_factory=list)
    inscriptions: list[dict[str, str]] | None = None
    readings: list[dict[str, Any]] | None = None
    features: list[dict[str, str]] | None = None
    note_lines: list[str] = field(default_factory=list)
    pictures: list[str] = field(default_factory=list)
    # Acts that are asked: whether visitors are to see it, its standing, its stage.
    shared: bool | None = None
    standing: str = ""
    stage: str = ""
    problems: list[CellProblem] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
