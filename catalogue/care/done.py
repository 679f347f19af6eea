"""Completion of the advice: which of what may be done to a piece was done, told by its treatments. Pure.

A treatment is written down as a kind ("soak"), and several ways may be written down as one kind. What its
kind alone does not tell apart is not ticked; what is on record stands beside it.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from catalogue.care.care_tables import OwnTreatment, care_tables
from catalogue.care.decision import Decision
from catalogue.care.models import Treatment
from catalogue.common.viewer_dates import day_words

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
