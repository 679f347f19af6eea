"""One lane of the year ruler for each piece of evidence: where it stands and how usual it was."""

from collections.abc import Sequence
from dataclasses import dataclass

from .axis import Axis
from .evidence import Piece
from .spans import ends, years_in

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
