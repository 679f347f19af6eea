"""Rows that belong to a record, as its history tells them: which they are, and one of them in a few words."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db import models

import dating
from catalogue.care.care_tables import care_tables, unknown_gates
from catalogue.care.models import Check, ConditionReport, Treatment, WorkStep
from catalogue.care.services.treatments import growth_steps
from catalogue.common.localisation import day_words
from catalogue.giving.models import HandOver, Promise
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, ObservedFeature, Opinion


@dataclass(frozen=True, slots=True)
class HistoryPart:
    """Rows that belong to a record: their link to it, and what one is called.

    `words` tells a row, where its columns one after the other don't. `goes_back` names them among what the
    service that keeps the record takes, where an earlier state brings them back; other rows stay as they are.
    `several`: a change of one says of which, by its own name.
    """

    model: Any
    column: str
    name: str
    words: Callable[[models.Model], str] | None = None
    goes_back: str = ""
    several: bool = False


def feature_words(feature: str) -> str:
    """The name of a feature; its key where the tables no longer have it."""
    row = dating.reference().features.get(feature)
    return row.term if row else feature


def find_row_words(row: models.Model) -> str:
    """A row of a find in a few words."""
    if isinstance(row, ObservedFeature):
        return f"{feature_words(row.feature)}, {row.get_certainty_display()}"
    if isinstance(row, Opinion):
        return f"{row}{'' if row.current else ' (an earlier one)'}"
    if isinstance(row, ConditionReport):
        return f"{row.get_grade_display()}, {day_words(row.on)}"
    if isinstance(row, Treatment):
        return f"{row.get_method_display()}, {day_words(row.begun)}"
    if isinstance(row, Check):
        return _look_words(row)
    if isinstance(row, WorkStep):
        step = growth_steps().get(row.step)
        return f"{step.name if step else row.step}{', done' if row.done_at else ', begun'}"
    return str(row) or "nothing read"


def _look_words(look: Check) -> str:
    gates = care_tables().gates
    known = [gates[key] for key in look.found if key in gates]
    seen = ", ".join(gate.name for gate in [*known, *unknown_gates(look.found, gates)])
    noted = f", {look.note}" if look.note else ""
    return f"{seen or 'nothing that forbids anything'}{', in passing' if look.in_passing else ''}{noted}"


FIND_PARTS = (
    HistoryPart(Inscription, "find", "Lettering", find_row_words, "inscriptions"),
    HistoryPart(MarkReading, "find", "Mark reading", find_row_words, "readings"),
    HistoryPart(ObservedFeature, "find", "Seen", find_row_words, "features"),
    HistoryPart(KnownYears, "find", "Known years", find_row_words, "known"),
    HistoryPart(Opinion, "find", "Opinion", find_row_words),
    HistoryPart(ConditionReport, "find", "Condition report", find_row_words),
    HistoryPart(Treatment, "find", "Treatment", find_row_words),
    HistoryPart(Check, "find", "Look for hazards", find_row_words),
    HistoryPart(WorkStep, "find", "Step", find_row_words),
    HistoryPart(Promise, "find", "Promise"),
    HistoryPart(HandOver, "find", "Hand-over"),
)
