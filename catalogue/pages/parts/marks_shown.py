"""Marks and codes of the tables as a page shows them, the published and one's own alike."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

import dating
from catalogue.common.drawings.mark_drawing import mark_drawing
from catalogue.common.drawings.ruler import small_ruler
from catalogue.common.drawings.scale import YearScale, scale_for
from catalogue.specimens.code_words import explain, sample_of
from catalogue.specimens.year_words import span_words
from dating.rows import DateCode, Mark

BASIS_WORDS = {"published": "read in the source", "memory": "in part from memory"}


@dataclass(frozen=True, slots=True)
class MarkShown:
    """A mark drawn, its years in words and on a ruler, and where that is known from."""

    mark: Mark
    drawing: SafeString
    years: str
    ruler: SafeString
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class CodeShown:
    """A scheme explained, with a question answered."""

    code: DateCode
    words: str
    asked: str
    answer: str
    source: str
    basis: str


def marks_shown(marks: Iterable[Mark], ref: dating.Reference) -> list[MarkShown]:
    """Marks with their windows on one shared scale."""
    marks = list(marks)
    scale = mark_scale(marks)
    return [
        MarkShown(
            mark,
            drawn(mark),
            years_of(mark),
            _ruler(mark, ref, scale),
            source_of(mark, ref),
            basis_of(mark),
        )
        for mark in marks
    ]


def codes_shown(codes: Iterable[DateCode], ref: dating.Reference) -> list[CodeShown]:
    """Schemes with an example that the dating service worked out."""
    shown = []
    for code in codes:
        asked = sample_of(code) if code.kind != "other" else ""
        answer = dating.what_would(asked, [code], this_year=timezone.localdate().year).words if asked else ""
        shown.append(CodeShown(code, explain(code), asked, answer, source_of(code, ref), basis_of(code)))
    return shown


def drawn(mark: Mark) -> SafeString:
    """The mark drawing of a row. Safe: the drawing escapes every word it holds."""
    return mark_safe(
        mark_drawing(mark.letters, frame=mark.frame, symbol=mark.symbol, arrangement=mark.arrangement)
    )


def years_of(mark: Mark) -> str:
    """Its years in words; a firm's years say so."""
    words = span_words(mark.used_from, mark.used_to, about_first=mark.from_circa, about_last=mark.to_circa)
    return f"{words} (the firm's years)" if mark.window_of == "firm" else words


def source_of(row: Mark | DateCode, ref: dating.Reference) -> str:
    """Where the row is from."""
    if row.source == "own":
        return f"your own: {row.locator}" if row.locator else "your own"
    return ref.source_words(row.source, row.locator)


def basis_of(row: Mark | DateCode) -> str:
    """How sure the row is, in words; nothing for one's own."""
    return "" if row.source == "own" else BASIS_WORDS.get(row.basis, row.basis)


def mark_scale(marks: Iterable[Mark], width: float = 300.0) -> YearScale:
    """One scale for the windows of these marks."""
    return scale_for(
        windows=[(mark.used_from, mark.used_to) for mark in marks],
        width=width,
        latest=timezone.localdate().year,
    )


def _ruler(mark: Mark, ref: dating.Reference, scale: YearScale) -> SafeString:
    shape = ref.shapes[mark.id]
    bounded = mark.used_from is not None or mark.used_to is not None
    curve = [(year, shape.at(year)) for year in range(scale.first, scale.last)] if bounded else []
    window = (mark.used_from, mark.used_to)
    return mark_safe(small_ruler(scale, curve=curve, window=window, words=years_of(mark)))
