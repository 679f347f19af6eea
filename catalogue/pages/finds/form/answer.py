"""The answer beside the form: what the evidence so far says, short enough for a strip on a phone."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.scale import scale_for
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.services import date_evidence
from catalogue.specimens.stored_answer import maker_shares
from catalogue.specimens.tables import SHOWN_FROM, current_reference

from .hints import code_hint
from .sheet import RecordSheet

MAKERS_SHOWN = 3
MAKER_FROM = 0.05


@dataclass(slots=True)
class AnswerStrip:
    """What the page shows; `problem` is a sentence where something typed can't be read yet."""

    words: str = "not yet dated"
    age: str = ""
    best: int | None = None
    ruler: SafeString = mark_safe("")
    makers: list[tuple[str, float, bool]] = field(default_factory=list)
    opinion: str = ""
    hint: str = ""
    disagree: list[str] = field(default_factory=list)
    marks: list[SafeString] = field(default_factory=list)
    left_out: int = 0
    problem: str = ""


def answer_to(sheet: RecordSheet) -> AnswerStrip:
    """Date what is filled in so far. Nothing typed makes it raise: it says what it left out."""
    evidence = sheet.evidence()
    answer = AnswerStrip(
        left_out=_left_out(sheet), marks=[mark_drawing(reading) for reading in evidence.readings]
    )
    reference = current_reference()
    try:
        finding = date_evidence(evidence, reference=reference)
    except dating.CaseError as refused:
        answer.problem = f"Not dated yet: {refused.message}."
        return answer
    answer.words, answer.age, answer.best = finding.words, finding.age_words, finding.best
    answer.ruler = _ruler(finding)
    answer.makers = _makers(finding)
    answer.opinion = evidence.maker_opinion.name if evidence.maker_opinion else ""
    answer.hint = code_hint(evidence, finding, reference)
    answer.disagree = [conflict.why for conflict in finding.conflicts]
    return answer


def _left_out(sheet: RecordSheet) -> int:
    """How many rows with an error the answer does without."""
    return sum(bool(form.errors) for rows in sheet.sets.values() if rows.is_bound for form in rows.forms)


def _makers(finding: dating.Finding) -> list[tuple[str, float, bool]]:
    """The makers that it may be, the likeliest first, each with whether that is likely enough to show."""
    ranked = maker_shares(finding)[:MAKERS_SHOWN]
    return [(row.name, row.share, row.share >= SHOWN_FROM) for row in ranked if row.share >= MAKER_FROM]


def _ruler(finding: dating.Finding) -> SafeString:
    """The small ruler of an answer; every text in it is escaped by the drawing."""
    curve: Sequence[tuple[int, float]] = ()
    if finding.because:
        curve = list(enumerate(finding.posterior, start=finding.axis[0]))
    window = (finding.window[0], finding.window[1]) if finding.window else (None, None)
    years = list(finding.years) if finding.years else None
    scale = scale_for(
        [curve], windows=[window], years=years or (), latest=timezone.localdate().year, width=240
    )
    return mark_safe(small_ruler(scale, curve=curve, years=years, window=window, words=finding.words))
