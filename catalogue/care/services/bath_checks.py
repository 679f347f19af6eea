"""Preconditions of a bath: its vessel, its mixture, and the gates before each piece."""

from collections.abc import Iterable, Mapping

from catalogue.care.care_tables import Gate
from catalogue.care.mixture import judge_parts
from catalogue.care.models import Bath, BathMember
from catalogue.care.piece_facts import Knowledge, knowledge_of
from catalogue.common.limits import a_few_words


class NotNow(ValueError):
    """What can't be done in the state the bath is in; the message says why."""


class Blocked(NotNow):
    """Pieces that a gate keeps out; `why` has one sentence for each, by the find's number."""

    def __init__(self, why: Mapping[str, str]) -> None:
        super().__init__("; ".join(f"{number}: {words}" for number, words in why.items()))
        self.why = why


def why_not(member: BathMember, known: Knowledge) -> tuple[str, list[Gate]]:
    """Why a piece may not go in ("" where it may), and the gates that stand before it."""
    gates = list(known.blocks)
    fixed = [gate for gate in gates if not gate.override]
    if fixed:
        return f"{fixed[0].name}: {fixed[0].why.words}.", gates
    if not known.facts.looked:
        return "nobody has looked at it yet for what would forbid acid.", gates
    verdict = known.decision.forbids("acid-bath")
    if (gates or verdict) and not a_few_words(member.override_reason):
        words = gates[0].why.words if gates else verdict.reasons[0].words if verdict else ""
        name = gates[0].name if gates else "not for this piece"
        return f"{name}: {words}. A written reason of a few words is needed.", gates
    return "", gates


def check_vessel(bath: Bath) -> None:
    """Raises NotNow for a vessel of metal, or one that holds a soak."""
    if why := bath.vessel.why_no_acid():
        raise NotNow(why)


def check_mixture(bath: Bath) -> None:
    """Raises NotNow for a mixture that is refused, or so strong that it wants a reason and has none."""
    acid, water = float(bath.acid_parts), float(bath.water_parts)
    verdict = judge_parts(acid, water, bath.strength_wt_pct, float(bath.temperature_c))
    if verdict.refused:
        raise NotNow(verdict.refused)
    if verdict.needs_reason and not a_few_words(bath.strong_reason):
        raise NotNow(verdict.needs_reason)


def check_gates(members: Iterable[BathMember]) -> None:
    """Raises Blocked where a gate keeps a piece out or it is in another bath."""
    members = list(members)
    known = knowledge_of(member.find for member in members)
    why = {}
    for member in members:
        other = BathMember.objects.filter(find=member.find, in_at__isnull=False, out_at=None).first()
        words = "it is in another bath." if other else why_not(member, known[member.find_id])[0]
        if words:
            why[member.find.number] = words
    if why:
        raise Blocked(why)
