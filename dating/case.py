"""One bottle as it was observed, marks as read off the glass among it: the question, validated."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from . import checks
from .checks import CaseError, ReferenceError, certainty, nearest
from .codes import digits_read
from .constants import AXIS_START, CERTAINTY
from .edit_distance import GAP, LONGEST_READING, pattern
from .known import Known, read_known
from .library import Reference
from .places import region_given
from .spoken import mark_in_words

SLOTS = ("left", "right", "above", "below")
SLOT_WORDS = {"left": "at the left", "right": "at the right", "above": "above", "below": "below"}
PLACES = ("base", "heel", "lip", "side", "rim", "shoulder", "body", "lid")
CASE_KEYS = (
    *("id", "features", "mark", "marks", "known", "region", "contents", "bottler", "product", "works"),
    *("maker", "recovered", "this_year", "own", "look_next", "asked"),
)
READING_KEYS = ("at", "letters", "symbol", "frame", "arrangement", *SLOTS, "certainty", "only")


@dataclass(frozen=True, slots=True)
class MarkReading:
    """``None``: not looked at; ``""``: looked, nothing there; ``"?"``: there but unreadable."""

    letters: str | None = None
    symbol: str | None = None
    frame: str | None = None
    arrangement: str | None = None
    at: str | None = None
    left: str | None = None
    right: str | None = None
    above: str | None = None
    below: str | None = None
    certainty: str = "certain"
    only: tuple[str, ...] = ()

    @property
    def slots(self) -> dict[str, str | None]:
        """The characters beside the mark by where they stand."""
        return {slot: getattr(self, slot) for slot in SLOTS}

    @property
    def label(self) -> str:
        """How a person names it: "T&H in a hexagon, 29 at the right"."""
        letters, symbol, frame = self.letters or "", self.symbol or "", self.frame or ""
        nothing = "a mark" if frame and frame != "none" else "a mark not read"
        head = mark_in_words(letters, symbol, frame, self.arrangement or "", nothing)
        for slot, words in SLOT_WORDS.items():
            chars = getattr(self, slot)
            if chars:
                head += f", {chars} {words}"
        return head


@dataclass(frozen=True, slots=True)
class FeatureSeen:
    """A feature of the tables that was seen, and how surely."""

    id: str
    certainty: str = "certain"
    note: str = ""


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
    within: str | None = None
    """The wider kind of its contents, where the reference knows one."""

    @property
    def last_year(self) -> int:
        """The last year in which it can have been made."""
        return self.recovered if self.recovered is not None else self.this_year

    @classmethod
    def from_dict(cls, given: object, ref: Reference) -> "Case":
        """A case in the shape that the command line takes; raises CaseError with the key path."""
        values = checks.mapping(given, "", CASE_KEYS)
        this_year = checks.year(values.get("this_year"), "this_year") or date.today().year
        if not AXIS_START < this_year <= 2999:
            raise CaseError(f"this_year lies outside {AXIS_START + 1} to 2999", "this_year")
        own = _own(values.get("own"), ref, this_year)
        ref = own or ref
        recovered = checks.year(values.get("recovered"), "recovered")
        if recovered is not None and not AXIS_START <= recovered <= this_year:
            raise CaseError(
                f"recovered in {recovered}, which is not between {AXIS_START} and {this_year}", "recovered"
            )
        contents = checks.choice(values.get("contents"), "contents", {*ref.contents, "any"})
        look_next = checks.flag(values.get("look_next"), "look_next")
        return cls(
            _features(values.get("features"), ref),
            _marks(values, ref),
            read_known(values.get("known"), this_year),
            region_given(values.get("region"), "region", ref.countries),
            contents,
            checks.text(values.get("bottler"), "bottler") or None,
            checks.text(values.get("product"), "product") or None,
            checks.text(values.get("works"), "works") or None,
            checks.text(values.get("maker"), "maker") or None,
            recovered,
            this_year,
            look_next,
            frozenset(checks.texts(values.get("asked"), "asked")),
            own,
            ref.places.within(contents or "") or None,
        )


def _own(value: object, ref: Reference, this_year: int) -> Reference | None:
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
        own = ref.with_own(**lists)
    except ReferenceError as error:
        key = "marks" if error.file == "own marks" else "date_codes"
        names = [str(row.get("id") or n) for n, row in enumerate(lists[key], 1)]
        # an id that is there twice is refused at the later row
        at = f"own.{key}[{len(names) - 1 - names[::-1].index(error.row)}].{error.field}"
        raise CaseError(f"own {error.field}: {error.message}", at) from error
    for n, row in enumerate(lists["marks"]):
        used_from = own.marks[str(row["id"]).strip()].used_from
        checks.not_to_come(used_from, this_year, f"own.marks[{n}].used_from")
    for n, row in enumerate(lists["date_codes"]):
        valid_from = own.date_codes[str(row["id"]).strip()].valid_from
        checks.not_to_come(valid_from, this_year, f"own.date_codes[{n}].valid_from")
    return own


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


def read_mark_reading(value: object, at: str, ref: Reference) -> MarkReading | None:
    """A reading in the shape that the command line takes; None where nothing at all was read."""
    entry = checks.mapping(value, at, READING_KEYS)
    letters = checks.text(entry.get("letters"), f"{at}.letters", 400)
    if letters and len(pattern(letters)) > LONGEST_READING:
        raise CaseError(f"more than {LONGEST_READING} letters", f"{at}.letters")
    symbol = _seen(entry.get("symbol"), f"{at}.symbol", ref.symbols, "")
    arrangement = _seen(entry.get("arrangement"), f"{at}.arrangement", ref.arrangements, "plain")
    shape = entry.get("frame")
    if isinstance(shape, str) and shape not in ref.frames and shape:
        # a sign or a way of joining letters is easily told in place of a frame
        if shape in ref.symbols and not symbol:
            shape, symbol = None, shape
        elif arrangement is None and any(word in ref.arrangements for word in shape.split()):
            joined = [word for word in shape.split() if word in ref.arrangements]
            shape, arrangement = None, joined[0]
    frame = _seen(shape, f"{at}.frame", ref.frames, "none")
    if arrangement is None and letters and "&" in letters:
        arrangement = "with-ampersand"
    slots = [checks.text(entry.get(slot), f"{at}.{slot}", 40) for slot in SLOTS]
    only = checks.texts(entry.get("only"), f"{at}.only")
    for n, name in enumerate(only):
        if name not in ref.marks:
            raise CaseError(f"unknown mark “{name[:60]}”" + nearest(name, ref.marks), f"{at}.only[{n}]")
    if not letters or not any(place != {GAP} for place in pattern(letters)):
        letters = "" if letters is not None and (symbol or (frame and frame != "none")) else None
    characters = any(digits_read(chars or "") for chars in slots)
    if letters is None and not symbol and frame in (None, "none") and not characters and not only:
        return None
    if letters is None and not symbol and frame in (None, "none"):
        symbol = frame = arrangement = None  # a form left empty, but for characters, has not been looked at
    left, right, above, below = (None if chars is None else chars.strip() for chars in slots)
    return MarkReading(
        letters,
        symbol,
        frame,
        arrangement,
        checks.choice(entry.get("at"), f"{at}.at", PLACES),
        left,
        right,
        above,
        below,
        certainty(entry.get("certainty"), f"{at}.certainty"),
        tuple(only),
    )


def _seen(value: object, at: str, known: tuple[str, ...], nothing: str) -> str | None:
    """A known value; ``""`` means looked and nothing there."""
    if value is None:
        return None
    if value == "":
        return nothing
    return checks.choice(value, at, {*known, nothing})
