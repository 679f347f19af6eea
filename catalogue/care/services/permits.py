"""Authorisation guard: every act with a piece passes here first and asks what its hazards say."""

from collections.abc import Iterable

from django.db import transaction

from catalogue.care.acts import ASKED_EACH_TIME, Act
from catalogue.care.models import HazardReason
from catalogue.care.piece_facts import Knowledge, knowledge_of
from catalogue.common.limits import a_few_words
from catalogue.specimens.models import Specimen


class Hazard(ValueError):
    """A hazard of the piece refuses the act; the message names both."""


class HazardAsksReason(ValueError):
    """The act is done only with a written reason, which is kept; `lines` has one sentence a piece."""

    def __init__(self, act: Act, lines: Iterable[str]) -> None:
        self.act, self.lines = act, list(lines)
        super().__init__(" ".join([*self.lines, "A written reason of a few words is needed."]))


@transaction.atomic
def permit(finds: Iterable[Specimen], act: Act, reason: str = "") -> dict[int, Knowledge]:
    """Let an act go ahead with these pieces, and keep the reason where a hazard wants one.

    Answers what is known of each, by key.

    A reason that was kept for the same act and hazards holds on, but for what is asked each time. Raises
    Hazard where the table refuses, HazardAsksReason where there is no reason of a few words. Six queries for
    any number of pieces.
    """
    known = knowledge_of(finds)
    refused = [_line(each, act) for each in known.values() if each.may(act).refused]
    if refused:
        raise Hazard(" ".join(refused))
    asked = {pk: each for pk, each in known.items() if each.may(act).wants_reason}
    if not asked:
        return known
    holding_on = () if act in ASKED_EACH_TIME else HazardReason.objects.filter(find__in=asked, act=act)
    for kept in holding_on:
        if kept.find_id in asked and _wanted(asked[kept.find_id], act) <= set(kept.gates):
            del asked[kept.find_id]
    if asked and not a_few_words(reason):
        raise HazardAsksReason(act, (_line(each, act) for each in asked.values()))
    for each in asked.values():
        gates = sorted(_wanted(each, act))
        HazardReason.objects.create(find=each.find, act=act, gates=gates, reason=reason.strip())
    return known


def _wanted(known: Knowledge, act: Act) -> set[str]:
    return {each.gate.key for each in known.may(act).wants_reason}


def _line(known: Knowledge, act: Act) -> str:
    """One sentence: "2026.3.4, sealed: it may hold pressure …"."""
    answer = known.may(act)
    words = "; ".join(each.words for each in answer.refused or answer.wants_reason)
    return f"{known.find.number}, {words}."
