"""Date one bottle: Bayes' rule over the years, prior × the likelihood of everything observed."""

from collections.abc import Sequence
from functools import lru_cache
from operator import mul

from .axis import Axis, Segments, axis_to
from .because import because, scaled
from .case import Case
from .conflicts import conflicts
from .constants import PRIOR
from .dependence import grouped, together
from .evidence import Piece
from .features import feature_piece
from .finding import Finding
from .knowns import known_piece
from .library import Reference
from .looknext import Look, code_looks, look_next, ranked
from .markpiece import mark_piece
from .window import best_year, bounds
from .words import age, age_words, in_edtf, in_words

RESCALE_EVERY = 12  # rescale after so many factors, so that a long list cannot underflow


def pieces_of(case: Case, axis: Axis, ref: Reference) -> list[Piece]:
    """The pieces of a case, in an order that does not depend on how they were given."""
    pieces = [feature_piece(seen, case, axis, ref) for seen in case.features]
    pieces += [mark_piece(reading, case, axis, ref) for reading in case.marks]
    pieces += [known_piece(known, axis) for known in case.known]
    pieces.sort(key=lambda piece: piece.order)
    return pieces


def posterior(pieces: Sequence[Piece], axis: Axis) -> tuple[float, ...]:
    """Prior × one likelihood for each independent piece or family, not yet scaled to a sum of 1."""
    groups = grouped(pieces)
    if not groups:
        return axis.prior
    first, *others = groups
    # a feature seen on many finds is multiplied by the prior but once
    shared = len(first) == 1 and first[0].kind == "feature"
    values: Sequence[float] = (
        _with_prior(first[0], axis) if shared else list(map(mul, axis.prior, together(first, axis)))
    )
    for number, group in enumerate(others, 1):
        values = list(map(mul, values, together(group, axis)))
        if number % RESCALE_EVERY == 0:
            top = max(values)
            values = [v / top for v in values]
    return tuple(values)


@lru_cache(maxsize=1024)
def _with_prior(piece: Piece, axis: Axis) -> tuple[float, ...]:
    return tuple(map(mul, axis.prior, piece.likelihood))


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
