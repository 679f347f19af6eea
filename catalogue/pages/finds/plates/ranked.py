"""The reading worked on beside the plate: its form, the marks it may be, the likeliest first, and what the
find would be dated then."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from django.utils.safestring import SafeString

import dating
from catalogue.specimens.evidence import evidence_of, only_known
from catalogue.specimens.models import MarkReading, Specimen
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.form import MarkReadingForm, initial_of, offered_symbols
from catalogue.specimens.reading.value import Reading, of_rows
from catalogue.specimens.services import date_evidence
from catalogue.specimens.tables import current_reference

PREFIX = "read"
NEW_READING = "new"
ON_THE_BASE = ("base", "heel")


@dataclass(frozen=True, slots=True)
class Target:
    """The reading to better, None for a new one; and the find's other readings."""

    row: MarkReading | None
    others: tuple[Reading, ...]

    @property
    def key(self) -> str:
        return str(self.row.pk) if self.row else NEW_READING

    @property
    def reading(self) -> Reading | None:
        return Reading.of_row(self.row) if self.row else None


def target_of(find: Specimen, asked: str) -> Target:
    """The reading whose key is asked for; else the first on the base; else a new one."""
    rows = list(find.readings.all())
    row = next((r for r in rows if str(r.pk) == asked), None)
    if row is None and asked != NEW_READING:
        row = next((r for r in rows if r.where in ON_THE_BASE), None)
    return Target(row, tuple(of_rows(r for r in rows if r is not row)))


def reading_form(target: Target, data: Any = None) -> MarkReadingForm:
    """The form for it: one query for the symbols of one's own makers."""
    initial = initial_of(target.reading) if target.reading else None
    return MarkReadingForm(data, prefix=PREFIX, initial=initial, offered=offered_symbols())


MOST_RANKED = 6


@dataclass(frozen=True, slots=True)
class Likely:
    """One mark of the tables beside what was read."""

    drawing: SafeString
    maker: str
    used: str
    probability: float
    why: tuple[str, ...]


@dataclass(slots=True)
class Ranked:
    """`words` is what the find would be dated with this reading; `problem` a sentence instead."""

    rows: list[Likely] = field(default_factory=list)
    words: str = ""
    age: str = ""
    problem: str = ""
    # The chance that it is a mark that the tables don't have.
    unknown: float = 0.0


def ranked_for(find: Specimen, others: Iterable[Reading], typed: Reading | None) -> Ranked:
    """Rank by the reading as typed and by what else is known of the years. Nothing typed makes it raise.

    `find` with its parts prefetched; four small queries otherwise for each kind, and four for the tables.
    """
    others = list(others)
    reference = current_reference()
    stored = evidence_of(find)
    try:
        without = date_evidence(replace(stored, readings=others), reasons=False, reference=reference)
        if typed is None or not typed.was_read:
            return Ranked(words=without.words, age=without.age_words)
        row = only_known({"marks": [typed.case()], "features": []}, reference)["marks"][0]
        window = (without.window[0], without.window[1]) if without.window else None
        marks = dating.rank_marks(row, reference, window, limit=MOST_RANKED)
        finding = date_evidence(
            replace(stored, readings=[*others, typed]), reasons=False, reference=reference
        )
    except dating.CaseError as error:
        return Ranked(problem=f"This can't be compared yet: {error}.")
    # The service numbers the readings that it was given: the typed one came last.
    here = sum(other.was_read for other in others)
    # Without an id come the other marks of the tables, and last the one that they don't have.
    nameless = [m.probability for m in finding.marks if m.id is None and m.reading == here]
    unknown = nameless[-1] if nameless else 0.0
    likely = [_drawn(mark, typed) for mark in marks]
    return Ranked(likely, finding.words, finding.age_words, unknown=unknown)


def _drawn(ranked: dating.RankedMark, typed: Reading) -> Likely:
    """The mark as its row has it, the characters beside it as typed: only they differ from piece to piece."""
    mark = ranked.mark
    drawing = mark_drawing(Reading.of_mark(mark).set_among(typed), words="")
    used = f"{mark.used_from or '…'}–{mark.used_to or '…'}"
    return Likely(drawing, mark.maker, used, ranked.probability, ranked.why)
