"""Decision table: what may be done to a piece, recommended, allowed or forbidden, and what of it was done.

Pure: what is known of the piece in, verdicts out. A forbidden step can be taken with a written reason, except
where a gate can't be overridden: sealed contents, and a site that nobody has cleared.

Which of it was done is told by its treatments. A treatment is written down as a kind ("soak"), and several
ways may be written down as one kind. What its kind alone does not tell apart is not ticked; what is on record
stands beside it.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from catalogue.care.models import Treatment
from catalogue.common.localisation import day_words

from .care_tables import (
    UNIVERSAL,
    CareMethod,
    DecisionRow,
    Gate,
    OwnTreatment,
    Tables,
    Why,
    care_tables,
    unknown_gates,
)

LOOKS = {"growth": "growth", "near-new": "near-new", "": "undecided"}


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """A piece as the table asks for it.

    `flags` are keys of gates that hold; `looked` says whether somebody has looked for all of them; `growth`
    is "heavy", "light" (a film or none) or "unknown", which counts as heavy.
    """

    flags: frozenset[str] = frozenset()
    looked: bool = False
    growth: str = "unknown"
    look: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A method, and why it stands where it stands. `needs_look`: first look for what would forbid it."""

    method: CareMethod
    reasons: tuple[Why, ...]
    needs_look: bool = False
    override: bool = True


@dataclass(frozen=True, slots=True)
class NotToDo:
    """Methods that are not to be used for the same reasons; `fixed` where no reason opens them."""

    names: str
    reasons: tuple[Why, ...]
    fixed: bool


@dataclass(frozen=True, slots=True)
class Decision:
    """Three lists, the least treatment first, and the gates that hold."""

    recommended: tuple[Verdict, ...]
    allowed: tuple[Verdict, ...]
    forbidden: tuple[Verdict, ...]
    gates: tuple[Gate, ...]
    looked: bool

    @property
    def not_to_do(self) -> list[NotToDo]:
        """What is not to be done, one line for each set of reasons."""
        groups: dict[tuple[tuple[Why, ...], bool], list[str]] = {}
        for verdict in self.forbidden:
            fixed = not verdict.override and not verdict.method.never
            groups.setdefault((verdict.reasons, fixed), []).append(verdict.method.name)
        return [NotToDo(", ".join(names), reasons, fixed) for (reasons, fixed), names in groups.items()]

    def forbids(self, logs_as: str) -> Verdict | None:
        """The verdict that forbids a method as treatments are written down ("acid-bath"), if one does.

        None where a milder way that is written down the same is open.
        """
        if any(verdict.method.logs_as == logs_as for verdict in (*self.recommended, *self.allowed)):
            return None
        for verdict in self.forbidden:
            if verdict.method.logs_as == logs_as and not verdict.method.never:
                return verdict
        return None


def decide(facts: PieceFacts, tables: Tables | None = None) -> Decision:
    """What may be done to a piece of which these facts are known."""
    tables = tables or care_tables()
    rows = [row for row in tables.rows if _applies(row, facts, tables)]
    forbidden: dict[str, list[Why]] = {}
    for row in rows:
        for key in row.forbidden:
            forbidden.setdefault(key, []).append(row.why)
    for key, method in tables.methods.items():
        if method.never:
            forbidden.setdefault(key, []).append(method.why)
    held = [tables.gates[flag] for flag in tables.gates if flag in facts.flags]
    # One that nobody may override overrules whatever else is said of the same method.
    fixed = {key for row in rows for key in row.forbidden if _fixed(row, tables)}
    wanted = _gather(rows, "recommended", forbidden)
    may = {key: why for key, why in _gather(rows, "allowed", forbidden).items() if key not in wanted}
    return Decision(
        _verdicts(wanted, tables, facts),
        _verdicts(may, tables, facts),
        tuple(
            Verdict(v.method, v.reasons, override=v.method.key not in fixed and not v.method.never)
            for v in _verdicts(forbidden, tables, facts)
        ),
        tuple(held),
        facts.looked,
    )


def blocks_of(facts: PieceFacts, tables: Tables | None = None) -> tuple[Gate, ...]:
    """The gates that stand before an acid bath of this piece."""
    tables = tables or care_tables()
    held = (tables.gates[flag] for flag in tables.gates if flag in facts.flags)
    return (*unknown_gates(facts.flags, tables.gates), *(gate for gate in held if gate.stops))


def _applies(row: DecisionRow, facts: PieceFacts, tables: Tables) -> bool:
    if row.condition == "plain":
        if any(not tables.gates[flag].then_plain for flag in facts.flags if flag in tables.gates):
            return False
    elif row.condition not in facts.flags:
        return False
    growth = "light" if facts.growth == "light" else "heavy"
    return row.growth in (UNIVERSAL, growth) and row.look in (UNIVERSAL, LOOKS.get(facts.look, "undecided"))


def _gather(rows: Iterable[DecisionRow], name: str, forbidden: dict[str, list[Why]]) -> dict[str, list[Why]]:
    found: dict[str, list[Why]] = {}
    for row in rows:
        for key in getattr(row, name):
            if key not in forbidden:
                found.setdefault(key, []).append(row.why)
    return found


def _fixed(row: DecisionRow, tables: Tables) -> bool:
    gate = tables.gates.get(row.condition)
    return gate is not None and not gate.override


def _verdicts(found: dict[str, list[Why]], tables: Tables, facts: PieceFacts) -> tuple[Verdict, ...]:
    verdicts = [
        Verdict(
            tables.methods[key],
            tuple(dict.fromkeys(reasons)),
            needs_look=not facts.looked and bool({"acid", "abrasive"} & tables.methods[key].groups),
        )
        for key, reasons in found.items()
    ]
    return tuple(sorted(verdicts, key=lambda v: (v.method.effort, v.method.name)))


# Of a kind that several ways are written down as, those that it surely was (ours). A soak is always in fresh
# water, but that the salt is out only its readings tell.
IS_THIS = {"soak": {"fw_soak"}, "soap-brush": {"soft_brush", "soap_brush"}}


@dataclass(frozen=True, slots=True)
class Done:
    """What is on record of a way of treating; `ticked` where it was that one and has ended."""

    words: str
    ticked: bool


def done_so_far(decision: Decision, treatments: Iterable[Treatment]) -> dict[str, Done]:
    """By the key of a method in the advice, what was done of it last. No query.

    Nothing is said of "other": it may be anything.
    """
    latest: dict[str, Treatment] = {}
    for treatment in sorted(treatments, key=lambda each: (each.begun, each.pk)):
        if treatment.method != OwnTreatment.OTHER:
            latest[treatment.method] = treatment
    ways = Counter(method.logs_as for method in care_tables().methods.values() if not method.never)
    done: dict[str, Done] = {}
    for verdict in (*decision.recommended, *decision.allowed):
        key, kind = verdict.method.key, verdict.method.logs_as
        if last := latest.get(kind):
            told = ways[kind] == 1 or key in IS_THIS.get(kind, ())
            ticked = told and last.ended is not None
            done[key] = Done(_words(last, ticked=ticked), ticked)
    return done


def _words(treatment: Treatment, *, ticked: bool) -> str:
    """ "Done 3 Nov 2026: no change", or what is on record of its kind."""
    day = day_words(treatment.ended or treatment.begun)
    if treatment.ended is None:
        return f"On record: {treatment.get_method_display()}, going on since {day}"
    said = f"Done {day}" if ticked else f"On record: {treatment.get_method_display()}, {day}"
    return f"{said}: {treatment.get_result_display()}" if treatment.result else said
