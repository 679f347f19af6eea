"""Posterior guard: the headline never says more than the posterior probability holds.

Which marks bound the window is decided after the years: where a mark outside the tables holds more than half
of a reading's posterior, the reading bounds nothing. And a window that holds too little is not stated.
"""

from collections.abc import Sequence
from dataclasses import replace
from operator import truediv

from .case import Case
from .constants import HEADLINE_LEAST, HEADLINE_SURE, NAMED_LEAST, UNKNOWN_SILENCES
from .evidence import Piece
from .library import Reference
from .markfactor import Candidate, mark_factor
from .ranking import shares, unknown_share
from .window import Bounds
from .years import EVER, Axis, years_in

LONGEST_MAKER = 120  # letters of a maker's name in the phrase, which labels and stored answers must hold


def believed(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[list[Piece], str]:
    """The pieces, those of marks that are likelier in no table bounding nothing; what to say of the first.

    ``after`` is prior × all evidence by year, scaled or not.
    """
    readings = {repr(reading): reading for reading in case.marks}
    out, words = [], ""
    for piece in pieces:
        if piece.kind == "mark":
            factor = mark_factor(readings[piece.key], case, axis, ref)
            others = list(map(truediv, after, piece.likelihood))  # no likelihood is zero
            if unknown_share(factor, piece.weight, others) > UNKNOWN_SILENCES:
                piece = replace(piece, support=EVER, coded=False)
                words = words or not_dated_by(shares(factor, piece.weight, others, NAMED_LEAST))
        out.append(piece)
    return out, words


def not_dated_by(ranked: Sequence[tuple[float, Candidate]]) -> str:
    """What stands in place of a window: the likeliest mark and its years, where any is likely enough."""
    for share, one in ranked:
        if one.mark and share >= NAMED_LEAST and (one.mark.used_from or one.mark.used_to):
            years = [year for year in one.effect.years if one.shape.at(year) > 0]
            start, end = (years[0], years[-1]) if years else (one.mark.used_from, one.mark.used_to)
            span = f"{start}" if start == end else f"{start or ''}–{end or ''}"
            return f"not dated by this mark; if it is {one.mark.maker[:LONGEST_MAKER]}: {span}"
    return ""


def held(found: Bounds, after: Sequence[float], axis: Axis) -> float:
    """The share of the posterior (scaled) that a stated window, or its separate years, holds."""
    assert found.window is not None
    if found.years:
        return sum(after[year - axis.first] for year in years_in(found.spans) if year in axis.years)
    start, end = found.window
    low = axis.first if start is None else max(start, axis.first)
    high = axis.last if end is None else min(end, axis.last)
    return sum(after[low - axis.first : high + 1 - axis.first])


def guarded(found: Bounds, after: Sequence[float], axis: Axis) -> Bounds:
    """The same, but a window of less than half of the posterior is withheld and a weak one is “probably”."""
    if found.window is None:
        return found
    share = held(found, after, axis)
    if share < HEADLINE_LEAST:
        return replace(found, window=None, years=None, probably=False)
    return replace(found, probably=True) if share < HEADLINE_SURE else found
