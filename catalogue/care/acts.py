"""Access decision (policy table): what may be done with a piece that has a hazard, and why not.

The one place that every act of every room asks: bench, soak, tools, giving, sharing. An act is refused, wants
a written reason that is kept, or is done with a warning. Keeping a piece wet, recording it and telling an
authority are no acts of this table: they are never refused. An acid bath asks the gates of its own table.
Pure.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from .care_tables import CARE_FACTS, Gate, Why, care_tables, unknown_gates, why_of


class Act(StrEnum):
    """What is done with a piece; the value is its key in acts.csv."""

    SOAK = "soak"
    TOOLS = "tools"
    FREE = "free"
    PROMISE = "promise"
    HAND_OVER = "hand-over"
    SHARE = "share"
    BACK = "back"

    @property
    def words(self) -> str:
        """As one says it: "soak it"."""
        return ACT_WORDS[self]


ACT_WORDS: Mapping["Act", str] = {
    Act.SOAK: "soak it with others",
    Act.TOOLS: "clean it with tools",
    Act.FREE: "mark it free to take",
    Act.PROMISE: "promise it",
    Act.HAND_OVER: "hand it over",
    Act.SHARE: "show it to visitors",
    Act.BACK: "keep it again",
}
# Each time is another one: a reason that was kept does not hold on.
ASKED_EACH_TIME = frozenset({Act.BACK})
REFUSED, REASON, WARNED = "refused", "reason", "warned"


@dataclass(frozen=True, slots=True)
class HazardObjection:
    """What a hazard has against an act: `answer` is "refused", "reason" or "warned"."""

    gate: Gate
    answer: str
    why: Why

    @property
    def words(self) -> str:
        """ "sealed: it may hold pressure …"."""
        return f"{self.gate.name}: {self.why.words}"


@dataclass(frozen=True, slots=True)
class ActAnswer:
    """What may be done, and why not; in the order of the table of gates."""

    act: Act
    objections: tuple[HazardObjection, ...] = ()

    def of(self, answer: str) -> list[HazardObjection]:
        """The objections of one kind."""
        return [each for each in self.objections if each.answer == answer]

    @property
    def refused(self) -> list[HazardObjection]:
        return self.of(REFUSED)

    @property
    def wants_reason(self) -> list[HazardObjection]:
        return self.of(REASON)


@lru_cache(maxsize=1)
def act_table() -> Mapping[tuple[Act, str], HazardObjection]:
    """Every row of acts.csv by act and gate. Raises ReferenceError."""
    gates = care_tables().gates
    found: dict[tuple[Act, str], HazardObjection] = {}
    for cells in CARE_FACTS.rows("acts", ("act", "gate", "answer", "words")):
        act = Act(cells.one_of("act", {*Act}))
        gate = gates[cells.one_of("gate", set(gates))]
        if (act, gate.key) in found:
            raise cells.refuse("gate", f"“{gate.key}” stands twice for “{act}”")
        answer = cells.one_of("answer", {REFUSED, REASON, WARNED})
        found[act, gate.key] = HazardObjection(gate, answer, why_of(cells, cells.text("words", needed=True)))
    return found


def gates_refusing(act: Act) -> frozenset[str]:
    """The gates that refuse an act, whatever reason is given."""
    return frozenset(gate for (of, gate), each in act_table().items() if of is act and each.answer == REFUSED)


def answer_for(flags: Collection[str], act: Act) -> ActAnswer:
    """What the gates that hold of a piece have against an act.

    A gate that no table knows (of a newer or a damaged catalogue) refuses every act, and is named.
    """
    table, gates = act_table(), care_tables().gates
    held = [table[act, key] for key in gates if key in flags and (act, key) in table]
    strange = [HazardObjection(gate, REFUSED, gate.why) for gate in unknown_gates(flags, gates)]
    return ActAnswer(act, (*strange, *held))


def is_left_alone(flags: Collection[str]) -> bool:
    """Sealed, munition, human remains, or what no table knows: nothing at all is done to it here."""
    return bool(answer_for(flags, Act.TOOLS).refused)


def hazards_of(flags: Collection[str]) -> list[Gate]:
    """The gates among these that stand against some act: what is said under a piece's name."""
    named = {gate for (_, gate), each in act_table().items() if each.answer != WARNED}
    gates = care_tables().gates
    known = [gate for key, gate in gates.items() if key in flags and key in named]
    return [*unknown_gates(flags, gates), *known]
