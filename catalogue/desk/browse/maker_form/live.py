"""What the form says while it is filled in: the marks drawn, and what characters would mean."""

from dataclasses import dataclass

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_drawing import mark_drawing
from catalogue.specimens.models import OwnCode, OwnMark
from catalogue.specimens.tables import code_row
from catalogue.specimens.year_words import span_words

from .whole import WholeMakerForm

LONGEST_QUESTION = 20
SIDES = (OwnCode.Position.LEFT, OwnCode.Position.RIGHT, OwnCode.Position.ABOVE, OwnCode.Position.BELOW)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A mark as typed so far."""

    drawing: SafeString
    years: str


@dataclass(frozen=True, slots=True)
class Live:
    """What stands beside the form."""

    marks: list[Drawn]
    tried: str
    answer: dating.Would | None


def live_of(whole: WholeMakerForm, tried: str) -> Live:
    """Drawn and answered from the rows that are sound so far; half-typed rows wait."""
    codes = whole.codes()
    beside = next((code.position for code in codes if code.position in SIDES), "right")
    tried = tried.replace("\x00", "").strip()[:LONGEST_QUESTION]
    return Live(
        [_drawn(mark, {beside: tried} if codes and tried else {}) for mark in whole.marks()],
        tried,
        _answer(codes, whole, tried) if codes and tried else None,
    )


def _answer(codes: list[OwnCode], whole: WholeMakerForm, tried: str) -> dating.Would:
    rows = []
    names = {
        id(form.instance): form.cleaned_data.get("bottler_name", "")
        for form in whole.sets["codes"].forms
        if form.is_bound and form.has_changed() and not form.errors
    }
    for code in codes:
        row = code_row(code, ())
        row["bottler"] = names.get(id(code), row["bottler"])
        rows.append(row)
    return dating.what_would(tried, rows, this_year=timezone.localdate().year)


def _drawn(mark: OwnMark, beside: dict[str, str]) -> Drawn:
    drawing = mark_drawing(
        mark.letters, frame=mark.frame, symbol=mark.symbol, arrangement=mark.arrangement, **beside
    )
    years = span_words(mark.from_year, mark.to_year, about_first=mark.from_circa, about_last=mark.to_circa)
    # safe: the drawing escapes every word it holds
    return Drawn(mark_safe(drawing), years)
