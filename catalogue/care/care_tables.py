"""The facts of care as tables: treatments, methods, gates, which goes with which; each row with its source.

Pure: reads the CSV files beside it with the table loader of `dating`.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from pathlib import Path

from dating import ReferenceError
from dating.facts import BASIS_WORDS, Cells, FactFolder, Grounds, Source, keyed

CARE_FACTS = FactFolder(Path(__file__).resolve().parent / "reference")
# A cell of decision.csv may name a group of methods.
METHOD_GROUPS = {
    "all_soaks": "soak",
    "all_acids": "acid",
    "all_cleaning": "cleaning",
    "immersion": "immersion",
}
METHOD_COLUMNS = ("key", "name", "effort", "groups", "logs_as", "what", "strength", "lasts", "mind")
GATE_COLUMNS = ("key", "name", "look_for", "stops", "override", "then_plain", "reason")
DECISION_COLUMNS = ("condition", "growth", "look", "recommended", "allowed", "forbidden", "reason")
UNIVERSAL = "any"
# What the column of a stored treatment holds.
METHOD_KEY_LENGTH = 12
# Sources that are none: the basis of the row says the same.
NO_AUTHOR = ("ours", "common")


@dataclass(frozen=True, slots=True)
class Why:
    """A reason with where it comes from."""

    words: str
    grounds: Grounds

    @property
    def sources(self) -> tuple[Source, ...]:
        """Who said it, where somebody did."""
        return tuple(source for source in self.grounds.sources if source.key not in NO_AUTHOR)

    @property
    def source_words(self) -> str:
        """Basis and, short, who said it: beside the thing itself there is room for no more."""
        basis = BASIS_WORDS[self.grounds.basis]
        named = "; ".join(source.short for source in self.sources)
        return f"{basis}: {named}" if named else basis


def why_of(cells: Cells, words: str) -> Why:
    """These words with the grounds of the row. Raises ReferenceError where they are not known."""
    return Why(words, cells.grounds(CARE_FACTS.sources))


@dataclass(frozen=True, slots=True)
class TreatmentKind:
    """A treatment as it is written down: `caution` may be blank, `rests_on` says in words what it rests on.

    It `waits` where the site of the find is on hold; what should not be done `again` says so.
    """

    key: str
    name: str
    waits: bool
    again: bool
    caution: str
    rests_on: str


@dataclass(frozen=True, slots=True)
class CareMethod:
    """One way of treating that can be planned; the lower `effort`, the less it takes away.

    `logs_as` is the kind of treatment that it is written down as; blank where nothing is done.
    """

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
    def of_contents(self) -> bool:
        """Whether it is something in it, not the glass or what is on it."""
        return self.stops == "all" and self.by_eye or self.key == "unknown_contents"

    @property
    def by_eye(self) -> bool:
        """Whether somebody looks for it on the piece (the others follow from the record)."""
        return bool(self.look_for)


def unknown_gates(flags: Iterable[str], gates: Collection[str]) -> list[Gate]:
    """Gates that a stored look names and no table knows: each stops everything until somebody has looked."""
    words = "a look names “{}”, which this version does not know: nothing is done before a look anew"
    return [
        Gate(key, f"“{key}”", "", "all", False, False, Why(words.format(key), Grounds((), "ours")))
        for key in sorted(set(flags) - set(gates))
    ]


@dataclass(frozen=True, slots=True)
class DecisionRow:
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
    """What may be done, checked against each other."""

    methods: Mapping[str, CareMethod]
    gates: Mapping[str, Gate]
    rows: tuple[DecisionRow, ...]


class OwnTreatment(StrEnum):
    """The kinds of treatment that the program itself writes down or knows; all others are rows alone."""

    SOAK = "soak"
    DETAIL = "detail"
    ACID = "acid-bath"
    OTHER = "other"


@lru_cache(maxsize=1)
def treatment_kinds() -> Mapping[str, TreatmentKind]:
    """Every kind of treatment that is written down, in the order of the table. Raises ReferenceError."""
    columns = ("key", "name", "waits", "again", "caution", "rests_on")
    kinds = keyed(CARE_FACTS.rows("treatments", columns), _kind, "key")
    check_own(kinds)
    return kinds


def check_own(kinds: Collection[str]) -> None:
    """What the program itself writes down is among the rows. Raises ReferenceError."""
    for key in OwnTreatment:
        if key not in kinds:
            raise ReferenceError(
                "treatments.csv", key, "key", "the program writes it down: its row is missing"
            )


def treatment_name(key: str) -> str:
    """What a stored treatment is called; the key itself where another version wrote one not known here."""
    kind = treatment_kinds().get(key)
    return kind.name if kind else key


def logged_as(cells: Cells, field: str) -> str:
    """A cell that names a kind of treatment, or nothing."""
    return cells.one_of(field, {*treatment_kinds(), ""})


@lru_cache(maxsize=1)
def care_tables() -> Tables:
    """All of it, checked against each other. Raises ReferenceError."""
    methods = keyed(CARE_FACTS.rows("methods", METHOD_COLUMNS), _method, "key")
    gates = keyed(CARE_FACTS.rows("gates", GATE_COLUMNS), _gate, "key")
    rows = tuple(_decision(cells, methods, gates) for cells in CARE_FACTS.rows("decision", DECISION_COLUMNS))
    check_waiting(methods.values(), rows)
    return Tables(methods, gates, rows)


def check_waiting(methods: Iterable[CareMethod], rows: Iterable[DecisionRow]) -> None:
    """What the row “hold” forbids is written down as a treatment that waits, and the other way round.

    Raises ReferenceError. “other” may be anything, and waits for nothing.
    """
    held = {key for row in rows if row.condition == "hold" for key in row.forbidden}
    for method in methods:
        kind = treatment_kinds().get(method.logs_as)
        if method.never or kind is None or kind.key == OwnTreatment.OTHER:
            continue
        if kind.waits != (method.key in held):
            does = "waits, but is not forbidden" if kind.waits else "does not wait, but is forbidden"
            why = f"it {does} as “{method.key}” in the row “hold” of decision.csv"
            raise ReferenceError("treatments.csv", kind.key, "waits", why)


def _kind(cells: Cells) -> TreatmentKind:
    """One row of treatments.csv: a caution says what it rests on."""
    key, caution = cells.text("key", needed=True), cells.text("caution")
    if len(key) > METHOD_KEY_LENGTH:
        raise cells.refuse("key", f"longer than {METHOD_KEY_LENGTH} characters, which is all that is stored")
    return TreatmentKind(
        key,
        cells.text("name", needed=True),
        cells.yes("waits"),
        cells.yes("again"),
        caution,
        cells.text("rests_on", needed=bool(caution)),
    )


def _method(cells: Cells) -> CareMethod:
    return CareMethod(
        cells.text("key", needed=True),
        cells.text("name", needed=True),
        cells.whole("effort"),
        frozenset(cells.text("groups").split()),
        logged_as(cells, "logs_as"),
        cells.text("what"),
        cells.text("strength"),
        cells.text("lasts"),
        cells.text("mind"),
        why_of(cells, cells.text("mind").removesuffix(".")),
    )


def _gate(cells: Cells) -> Gate:
    return Gate(
        cells.text("key", needed=True),
        cells.text("name", needed=True),
        cells.text("look_for"),
        cells.text("stops"),
        cells.yes("override"),
        cells.yes("then_plain"),
        why_of(cells, cells.text("reason", needed=True)),
    )


def _decision(cells: Cells, methods: Mapping[str, CareMethod], gates: Collection[str]) -> DecisionRow:
    return DecisionRow(
        cells.one_of("condition", {*gates, "plain"}),
        cells.text("growth", needed=True),
        cells.text("look", needed=True),
        _methods(cells, "recommended", methods),
        _methods(cells, "allowed", methods),
        _methods(cells, "forbidden", methods),
        why_of(cells, cells.text("reason", needed=True)),
    )


def _methods(cells: Cells, field: str, methods: Mapping[str, CareMethod]) -> frozenset[str]:
    """Keys in a cell, with groups such as `all_acids` and `immersion` spelled out."""
    keys: set[str] = set()
    for word in cells.text(field).split():
        group = METHOD_GROUPS.get(word)
        if group:
            keys |= {key for key, method in methods.items() if group in method.groups}
        elif word in methods:
            keys.add(word)
        else:
            raise cells.refuse(field, f"“{word}” is not in methods.csv")
    return frozenset(keys)
