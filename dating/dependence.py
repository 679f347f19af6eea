"""Dependent evidence: pieces that follow from one cause are joined, not counted twice.

Members of a family (all traces of the machine, say) are combined by what they would show together if one
followed from the other: the lowest of their shapes, never the product. Each may still be misread on its own,
so the chances of every
mix of right and wrong looks are added up:
L(y) = Σ over sets S of right looks of Π w · Π (1−w)·t̄ · min over S of t(y).
A second look at the same cause thus confirms it, but does not sharpen its years. Which features belong
together stands in ``reference/families.csv``.
"""

from collections.abc import Sequence
from functools import lru_cache

from .evidence import Piece
from .years import Axis


def grouped(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces by family; one without a family stands alone."""
    groups: dict[object, list[Piece]] = {}
    for number, piece in enumerate(pieces):
        groups.setdefault(piece.family or number, []).append(piece)
    return list(groups.values())


def together(pieces: Sequence[Piece], axis: Axis) -> tuple[float, ...]:
    """The joint likelihood of one family, scaled to a prior mean of 1."""
    return pieces[0].likelihood if len(pieces) == 1 else _together(tuple(pieces), axis)


# Remembered by its arguments, on which alone it depends: nothing invalidates it.
@lru_cache(maxsize=1024)
def _together(pieces: tuple[Piece, ...], axis: Axis) -> tuple[float, ...]:
    means = [axis.mean(piece.heights) for piece in pieces]
    live = [(p.heights, p.weight, m) for p, m in zip(pieces, means, strict=True) if m > 0]
    joint = [
        _joint(sorted((heights[i], weight, mean) for heights, weight, mean in live))
        for i in range(len(axis.prior))
    ]
    total = axis.mean(joint)
    return tuple(value / total for value in joint)


def _joint(looks: list[tuple[float, float, float]]) -> float:
    """One year: looks by rising height; the lowest right one gives the height, all below it are wrong."""
    wrong_below = 1.0
    total = 0.0
    for n, (height, weight, _) in enumerate(looks):
        above = 1.0
        for _, other, mean in looks[n + 1 :]:
            above *= other + (1.0 - other) * mean
        total += height * weight * wrong_below * above
        wrong_below *= (1.0 - looks[n][1]) * looks[n][2]
    return total + wrong_below
