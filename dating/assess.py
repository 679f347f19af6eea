"""Date one bottle: everything that was observed, weighed together."""

from collections.abc import Sequence

from .axis import Axis, Segments, axis_to
from .because import because, scaled
from .case import Case
from .codelook import code_looks
from .combine import pieces_of, posterior
from .conflicts import conflicts
from .constants import PRIOR
from .evidence import Piece
from .finding import Finding
from .library import Reference
from .looknext import Look, look_next, ranked
from .window import best_year, bounds
from .words import age, age_words, in_edtf, in_words


def assess(
    case: Case,
    ref: Reference,
    look_next: bool = False,
    *,
    reasons: bool = True,
    prior: Segments = PRIOR,
) -> Finding:
    """The finding for a case.

    ``look_next`` asks for the looks worth taking (also where the case asks), ``reasons=False`` leaves out
    reasons, conflicts and lanes for redating many, ``prior`` replaces the assumption about the years
    (periods as from, to, share).
    """
    ref = case.own or ref
    axis = axis_to(case.last_year, prior)
    pieces = pieces_of(case, axis, ref)
    unscaled = posterior(pieces, axis)
    looks = look_next or case.look_next
    after = scaled(unscaled) if reasons or looks else []
    whole = bounds(pieces, axis)
    return Finding(
        window=whole.window,
        years=whole.years,
        best=best_year(unscaled, axis, whole.window, whole.disagree),
        words=in_words(whole),
        age=age(whole, case.this_year),
        age_words=age_words(whole, case.this_year),
        edtf=in_edtf(whole),
        because=because(pieces, after, whole, axis) if reasons else (),
        conflicts=conflicts(pieces, axis, ref, case.recovered) if reasons else (),
        look_next=_looks(case, pieces, after, axis, ref) if looks else (),
        span=axis,
        pieces=tuple(pieces),
        unscaled=unscaled,
        this_year=case.this_year,
        reference_version=ref.version,
        case=case,
        ref=ref,
    )


def _looks(
    case: Case, pieces: Sequence[Piece], after: Sequence[float], axis: Axis, ref: Reference
) -> tuple[Look, ...]:
    return ranked([*look_next(case, after, axis, ref), *code_looks(case, pieces, after, axis, ref)])
