"""All evidence together: the probability of every year."""

from collections.abc import Sequence
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


def factors(pieces: Sequence[Piece], axis: Axis) -> list[tuple[float, ...]]:
    """One likelihood for each independent piece or family."""
    return [together(group, axis) for group in grouped(pieces)]


def posterior(likelihoods: Sequence[Sequence[float]], axis: Axis) -> list[float]:
    """Prior × all likelihoods, scaled to sum 1."""
    values: list[float] = list(axis.prior)
    for number, one in enumerate(likelihoods, 1):
        values = list(map(mul, values, one))
        if number % STEPS == 0:
            top = max(values)
            values = [v / top for v in values]
    total = sum(values)
    return [v / total for v in values]
