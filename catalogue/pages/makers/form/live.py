"""What the form says while it is filled in: the marks drawn, and what characters would mean."""

from dataclasses import dataclass, replace

from django.utils import timezone
from django.utils.safestring import SafeString

import dating
from catalogue.specimens.models import OwnCode, OwnMark
from catalogue.specimens.reading.drawing import mark_drawing
from catalogue.specimens.reading.value import SIDES, Reading
from catalogue.specimens.tables import code_row
from catalogue.specimens.year_words import span_words

from .only_for import names_as_typed
from .whole import WholeMakerForm

LONGEST_QUESTION = 20
BOUND = ("bottler", "product", "contents", "region", "works")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A mark as typed so far."""

    drawing: SafeString
    years: str


@dataclass(frozen=True, slots=True)
class CodeAnswer:
    """What the characters would mean, for which bottles (empty: for all others), and which works."""

    bottles: str
    dates: bool
    words: str
    works: str


@dataclass(frozen=True, slots=True)
class Live:
    """What stands beside the form."""

    marks: list[Drawn]
    tried: str
    answers: list[CodeAnswer]


def live_of(whole: WholeMakerForm, tried: str) -> Live:
    """Drawn and answered from the rows that are sound so far; half-typed rows wait."""
    codes = whole.codes()
    beside = next((code.position for code in codes if code.position in SIDES), "right")
    tried = tried.strip()[:LONGEST_QUESTION]
    return Live(
        [_drawn(mark, {beside: tried} if codes and tried else {}) for mark in whole.marks()],
        tried,
        answers(_rows(codes, whole), tried) if codes and tried else [],
    )


def answers(rows: list[dict[str, str]], tried: str) -> list[CodeAnswer]:
    """One answer for each kind of bottle that the schemes tell apart, the most narrowly named first."""
    kinds = {tuple(row[name] for name in BOUND) for row in rows}
    out = []
    for values in sorted(kinds, key=lambda kind: (-sum(map(bool, kind)), kind)):
        only = {name: value for name, value in zip(BOUND, values, strict=True) if value}
        # without the others' schemes, which would be asked where this bottle's own gives no year
        fitting = [row for row in rows if all(not row[n] or row[n] == only.get(n) for n in BOUND)]
        would = dating.what_would(tried, fitting, this_year=timezone.localdate().year, **only)
        out.append(
            CodeAnswer(", ".join(only.values()), bool(would.years), would.words, " or ".join(would.works))
        )
    return out


def _rows(codes: list[OwnCode], whole: WholeMakerForm) -> list[dict[str, str]]:
    typed = {id(form.instance): names_as_typed(form) for form in whole.sets["codes"].forms}
    return [code_row(code, ()) | typed.get(id(code), {}) for code in codes]


def _drawn(mark: OwnMark, beside: dict[str, str]) -> Drawn:
    drawing = mark_drawing(replace(Reading.drawn_of_mark(mark), **beside))
    years = span_words(mark.from_year, mark.to_year, about_first=mark.from_circa, about_last=mark.to_circa)
    return Drawn(drawing, years)
