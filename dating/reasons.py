"""Explanation of an answer: reasons, and a lane of the year ruler for each piece.

A reason's bits are the Kullback–Leibler divergence between the posterior and the posterior without the piece,
so the order plays no part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log2
from operator import mul, truediv

from .belief import grouped, headline, together
from .case import Case
from .evidence import Piece
from .library import Reference
from .window import Bounds, Window, in_words
from .years import Axis, ends, scaled, years_in


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


def divergence(p: Sequence[float], q: Sequence[float]) -> float:
    """Kullback–Leibler divergence of p from q in bits; q is nowhere zero where p is not."""
    if min(p) > 0 and min(q) > 0:
        return float(max(0.0, sum(map(mul, p, map(log2, map(truediv, p, q))))))
    return max(0.0, sum(a * log2(a / b) for a, b in zip(p, q, strict=True) if a > 0 and b > 0))


def because(
    case: Case,
    read: Sequence[Piece],
    pieces: Sequence[Piece],
    after: Sequence[float],
    whole: Bounds,
    axis: Axis,
    ref: Reference,
) -> tuple[Because, ...]:
    """The reasons, most telling first: ``read`` are the pieces as read, ``pieces`` those of the headline.

    What would stand without one follows by the headline's own rule: by the shares of the marks without it.
    """
    as_read = {id(piece): one for piece, one in zip(pieces, read, strict=True)}
    groups = grouped(pieces)
    joint = [together(group, axis) for group in groups]
    out = []
    for n, group in enumerate(groups):
        for piece in group:
            rest = [other for other in group if other is not piece]
            before = map(truediv, after, joint[n])  # no likelihood is zero
            if rest:
                before = map(mul, before, together(rest, axis))
            left = scaled(list(before))
            bits = divergence(after, left)
            others = [one for one in read if one is not as_read[id(piece)]]
            without = headline(case, others, left, axis, ref).bounds
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


LEFT_OUT_OF_WINDOW = (
    "moves the odds, not the window: with it the window would hold less than half of the likely years"
)


def cut_words(piece: Piece, whole: Bounds, without: Bounds) -> str:
    """What the piece cut off, by what would stand without it."""
    if piece.left_out:
        return LEFT_OUT_OF_WINDOW
    if not piece.bounds:
        return "doubtful: moves the odds, not the window"
    if whole.spans == without.spans:
        return "leaves the window as it is"
    return f"without it: {in_words(without)}"


FLAT_WITHIN = 0.01  # heights are drawn a few pixels tall; finer steps cannot be seen


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane: ends None where open, ``years`` where they are separate, ``curve`` (year, height) to draw."""

    label: str
    detail: str
    kind: str
    id: str
    start: int | None
    end: int | None
    years: tuple[int, ...] | None
    curve: tuple[tuple[int, float], ...]
    weight: float
    source: str


def lane(piece: Piece, axis: Axis) -> Lane:
    """The lane of a piece."""
    start, end = ends(piece.support)
    bounded = start is not None and end is not None
    years = years_in(piece.support) if piece.coded and bounded else None
    curve = simplified(piece.heights, axis.first)
    return Lane(
        piece.label, piece.detail, piece.kind, piece.key, start, end, years, curve, piece.weight, piece.source
    )


def simplified(heights: Sequence[float], first: int) -> tuple[tuple[int, float], ...]:
    """Polyline simplification: points left out that a straight line already passes within a hair."""
    keep = [0]
    while keep[-1] < len(heights) - 1:
        keep.append(_reach(heights, keep[-1]))
    return tuple((first + n, round(heights[n], 4)) for n in keep)


def _reach(heights: Sequence[float], start: int) -> int:
    """The farthest point to which a straight line stays within a hair of all between."""
    low, high = float("-inf"), float("inf")
    base = heights[start]
    for n in range(start + 1, len(heights)):
        slope = (heights[n] - base) / (n - start)
        if not low <= slope <= high:
            return n - 1
        low = max(low, (heights[n] - FLAT_WITHIN - base) / (n - start))
        high = min(high, (heights[n] + FLAT_WITHIN - base) / (n - start))
    return len(heights) - 1
