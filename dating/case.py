"""One bottle as it was observed: the question that the service answers."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from . import checks
from .constants import AXIS_START, CERTAINTY
from .errors import CaseError, EdtfError, ReferenceError, nearest
from .library import Reference
from .readings import MarkReading, read_mark_reading

CASE_KEYS = (
    *("id", "features", "mark", "marks", "known", "region", "contents", "bottler", "product", "works"),
    *("maker", "recovered", "this_year", "own", "look_next", "asked"),
)


@dataclass(frozen=True, slots=True)
class FeatureSeen:
    """A feature of the tables that was seen, and how surely."""

    id: str
    certainty: str = "certain"
    note: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """Years known from elsewhere: a directory, a dated event, a law that is named on the glass."""

    what: str
    start: int | None
    end: int | None
    certainty: str = "certain"
    source: str = ""
    start_circa: bool = False
    end_circa: bool = False
    of_firm: bool = False
    years: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Case:
    """All that was observed of one bottle; ``own`` is the reference with the case's own rows joined."""

    features: tuple[FeatureSeen, ...] = ()
    marks: tuple[MarkReading, ...] = ()
    known: tuple[Known, ...] = ()
    region: str | None = None
    contents: str | None = None
    bottler: str | None = None
    product: str | None = None
    works: str | None = None
    maker: str | None = None
    recovered: int | None = None
    this_year: int = 0
    look_next: bool = False
    asked: frozenset[str] = frozenset()
    own: Reference | None = None

    @property
    def last_year(self) -> int:
        """The last year in which it can have been made."""
        return self.recovered if self.recovered is not None else self.this_year

    @classmethod
    def from_dict(cls, given: object, ref: Reference) -> "Case":
        """A case in the shape that the command line takes; raises CaseError with the key path."""
        values = checks.mapping(given, "", CASE_KEYS)
        own = _own(values.get("own"), ref)
        ref = own or ref
        this_year = checks.year(values.get("this_year"), "this_year") or date.today().year
        if not AXIS_START < this_year <= 2999:
            raise CaseError(f"this_year lies outside {AXIS_START + 1} to 2999", "this_year")
        recovered = checks.year(values.get("recovered"), "recovered")
        if recovered is not None and not AXIS_START <= recovered <= this_year:
            raise CaseError(
                f"recovered in {recovered}, which is not between {AXIS_START} and {this_year}", "recovered"
            )
        look_next = values.get("look_next")
        if not isinstance(look_next, bool | None):
            raise CaseError("true or false is expected here", "look_next")
        return cls(
            _features(values.get("features"), ref),
            _marks(values, ref),
            tuple(_known(v, f"known[{n}]") for n, v in enumerate(checks.items(values.get("known"), "known"))),
            checks.choice(values.get("region"), "region", {*ref.regions, "any"}),
            checks.choice(values.get("contents"), "contents", {*ref.contents, "any"}),
            checks.text(values.get("bottler"), "bottler") or None,
            checks.text(values.get("product"), "product") or None,
            checks.text(values.get("works"), "works") or None,
            checks.text(values.get("maker"), "maker") or None,
            recovered,
            this_year,
            bool(look_next),
            frozenset(
                checks.text(v, f"asked[{n}]") or ""
                for n, v in enumerate(checks.items(values.get("asked"), "asked"))
            ),
            own,
        )


def certainty(value: object, at: str) -> str:
    """One of the three certainties; certain where nothing is said."""
    return checks.choice(value, at, CERTAINTY) or "certain"


def _own(value: object, ref: Reference) -> Reference | None:
    if value is None:
        return None
    rows = checks.mapping(value, "own", ("marks", "date_codes"))
    lists: dict[str, list[Mapping[str, object]]] = {}
    for key in ("marks", "date_codes"):
        lists[key] = []
        for n, row in enumerate(checks.items(rows.get(key), f"own.{key}")):
            if not isinstance(row, dict):
                raise CaseError("an object with the columns of the table is expected here", f"own.{key}[{n}]")
            lists[key].append(row)
    try:
        return ref.with_own(**lists)
    except ReferenceError as error:
        key = "marks" if error.file == "own marks" else "date_codes"
        names = [str(row.get("id") or n) for n, row in enumerate(lists[key], 1)]
        at = f"own.{key}[{names.index(error.row)}].{error.field}"
        raise CaseError(f"own {error.field}: {error.message}", at) from error


def _features(value: object, ref: Reference) -> tuple[FeatureSeen, ...]:
    best: dict[str, FeatureSeen] = {}
    for n, item in enumerate(checks.items(value, "features")):
        at = f"features[{n}]"
        if isinstance(item, str):
            seen, id_at = FeatureSeen(item), at
        else:
            entry = checks.mapping(item, at, ("id", "certainty", "note"))
            name, id_at = checks.text(entry.get("id"), f"{at}.id") or "", f"{at}.id"
            sure = certainty(entry.get("certainty"), f"{at}.certainty")
            seen = FeatureSeen(name, sure, checks.text(entry.get("note"), f"{at}.note", 2000) or "")
        if seen.id not in ref.features:
            raise CaseError(f"unknown feature “{seen.id[:60]}”" + nearest(seen.id, ref.features), id_at)
        # the same thing seen twice is one observation, as sure as the surer look
        before = best.get(seen.id)
        if before is None or CERTAINTY[seen.certainty] > CERTAINTY[before.certainty]:
            best[seen.id] = seen
    return tuple(best.values())


def _marks(values: Mapping[str, object], ref: Reference) -> tuple[MarkReading, ...]:
    single = values.get("mark")
    if single is not None:
        if values.get("marks"):
            raise CaseError("give either mark or marks, not both", "mark")
        readings = [read_mark_reading(single, "mark", ref)]
    else:
        listed = checks.items(values.get("marks"), "marks")
        readings = [read_mark_reading(v, f"marks[{n}]", ref) for n, v in enumerate(listed)]
    best: dict[MarkReading, MarkReading] = {}
    for reading in filter(None, readings):
        bare = replace(reading, certainty="certain")
        if bare not in best or CERTAINTY[reading.certainty] > CERTAINTY[best[bare].certainty]:
            best[bare] = reading
    return tuple(best.values())


def _known(value: object, at: str) -> Known:
    from . import edtf  # only cases that carry such a string need the parser

    keys = ("what", "from", "to", "certainty", "source", "from_circa", "to_circa", "of_firm", "edtf")
    entry = checks.mapping(value, at, keys)
    for key in ("from_circa", "to_circa", "of_firm"):
        if not isinstance(entry.get(key), bool | None):
            raise CaseError("true or false is expected here", f"{at}.{key}")
    start, end = checks.year(entry.get("from"), f"{at}.from"), checks.year(entry.get("to"), f"{at}.to")
    checks.in_order(start, end, f"{at}.to")
    circa = (bool(entry.get("from_circa")), bool(entry.get("to_circa")))
    years: tuple[int, ...] = ()
    written = checks.text(entry.get("edtf"), f"{at}.edtf")
    if written:
        if start is not None or end is not None:
            raise CaseError("give either edtf or from and to, not both", f"{at}.edtf")
        try:
            read = edtf.parse(written)
        except EdtfError as error:
            raise CaseError(str(error), f"{at}.edtf") from error
        start, end, years = read.earliest, read.latest, read.separate
        circa = (read.start_approximate, read.end_approximate)
    return Known(
        checks.text(entry.get("what"), f"{at}.what") or "known years",
        start,
        end,
        certainty(entry.get("certainty"), f"{at}.certainty"),
        checks.text(entry.get("source"), f"{at}.source", 2000) or "",
        *circa,
        bool(entry.get("of_firm")),
        years,
    )
