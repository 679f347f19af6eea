"""All evidence together: the probability of every year."""

from collections.abc import Sequence
from functools import lru_cache
from operator import mul

from .axis import Axis
from .case import Case
from .dependence import grouped, together
from .evidence import Piece
from .features import feature_piece
from .knowns import known_piece
from .library import Reference
from .markpiece import mark_piece

STEPS = 12  # rescale after so many factors, so that a long list cannot underflow


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
        _alone(first[0], axis) if shared else list(map(mul, axis.prior, together(first, axis)))
    )
    for number, group in enumerate(others, 1):
        values = list(map(mul, values, together(group, axis)))
        if number % STEPS == 0:
            top = max(values)
            values = [v / top for v in values]
    return tuple(values)


@lru_cache(maxsize=1024)
def _alone(piece: Piece, axis: Axis) -> tuple[float, ...]:
    return tuple(map(mul, axis.prior, piece.likelihood))
