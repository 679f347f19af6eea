"""Reasons: what each piece says, what it cut off, and its Kullback–Leibler divergence in bits.

Bits = divergence between the posterior and the posterior without the piece, so the order plays no part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log2
from operator import mul, truediv

from .axis import Axis
from .dependence import grouped, together
from .evidence import Piece
from .spans import ends
from .window import Bounds, Window, bounds
from .words import in_words


@dataclass(frozen=True, slots=True)
class Because:
    """One reason: its evidence and range, its bits, its weight and source, and the window without it."""

    evidence: str
    start: int | None
    end: int | None
    bits: float
    weight: float
    why_weight: str
    source: str
    cut: str
    detail: str
    kind: str
    key: str
    without: Window | None


def scaled(values: Sequence[float]) -> list[float]:
    """The same, to a sum of 1."""
    total = sum(values)
    return [value / total for value in values]


def divergence(p: Sequence[float], q: Sequence[float]) -> float:
    """Kullback–Leibler divergence of p from q in bits; q is nowhere zero where p is not."""
    if min(p) > 0 and min(q) > 0:
        return float(max(0.0, sum(map(mul, p, map(log2, map(truediv, p, q))))))
    return max(0.0, sum(a * log2(a / b) for a, b in zip(p, q, strict=True) if a > 0 and b > 0))


def because(
    pieces: Sequence[Piece], after: Sequence[float], whole: Bounds, axis: Axis
) -> tuple[Because, ...]:
    """The reasons, most telling first."""
    groups = grouped(pieces)
    joint = [together(group, axis) for group in groups]
    out = []
    for n, group in enumerate(groups):
        for piece in group:
            rest = [other for other in group if other is not piece]
            before = map(truediv, after, joint[n])  # no likelihood is zero
            if rest:
                before = map(mul, before, together(rest, axis))
            bits = divergence(after, scaled(list(before)))
            without = bounds([other for other in pieces if other is not piece], axis)
            start, end = ends(piece.support)
            out.append(
                Because(
                    piece.label,
                    start,
                    end,
                    bits,
                    piece.weight,
                    piece.why_weight,
                    piece.source,
                    cut_words(piece, whole, without),
                    piece.detail,
                    piece.kind,
                    piece.key,
                    without.window,
                )
            )
    out.sort(key=lambda reason: (-round(reason.bits, 9), reason.kind, reason.key))
    return tuple(out)


def cut_words(piece: Piece, whole: Bounds, without: Bounds) -> str:
    """What the piece cut off, by what would stand without it."""
    if not piece.bounds:
        return "doubtful: moves the odds, not the window"
    if whole.spans == without.spans:
        return "leaves the window as it is"
    return f"without it: {in_words(without)}"
