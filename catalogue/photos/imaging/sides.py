"""The left and the right edge of a standing bottle, row by row, and the axis between them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .arrays import Map
from .blurring import blur
from .errors import ImagingError
from .regions import Mask

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """For each of `rows` (downwards) the columns of both edges and how clear they are, 0 to 1."""

    rows: Numbers
    left: Numbers
    right: Numbers
    strength: Numbers


@dataclass(frozen=True, slots=True)
class Axis:
    """The column of the axis at row 0 and by how much it goes right for each row up."""

    column: float
    lean: float

    def at(self, row: float) -> float:
        """Its column in a row."""
        return self.column - self.lean * row


def sides_of(differs: Map, mask: Mask, span: tuple[int, int]) -> Sides:
    """The outermost sharp steps of `differs` (distance from the ground) in the rows of `span`.

    A step is sharp where it rises within a few pixels by a good part of what the edges of this bottle usually
    do; a shadow's does not.
    """
    capped = np.minimum(differs, np.float32(np.quantile(differs[mask], 0.7)))
    steep = np.gradient(blur(capped, 1.0), axis=1)
    rows = np.arange(span[0], span[1])
    firsts, lasts = _reach(mask[rows])
    inner = np.array([_outermost(steep[row], a, b) for row, a, b in zip(rows, firsts, lasts, strict=True)])
    clear = np.minimum(inner[:, 2], inner[:, 3])
    usual = float(np.quantile(clear, 0.6))
    good = (clear > 0.15 * usual) & (inner[:, 1] > inner[:, 0])
    # Above the lip and below the foot there is nothing sharp on both sides: those rows are not the bottle's.
    if usual <= 0 or good.sum() < 30:
        raise ImagingError("The bottle's edge is too soft to follow; use a plain ground and a sharp picture.")
    kept = np.flatnonzero(good)
    rows, inner, clear = (
        rows[kept[0] : kept[-1] + 1],
        inner[kept[0] : kept[-1] + 1],
        clear[kept[0] : kept[-1] + 1],
    )
    strength = np.clip(clear / max(usual, 1e-9), 0, 1)
    return Sides(rows.astype(np.float64), inner[:, 0], inner[:, 1], strength)


def _reach(mask: Mask) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last column of the mask in each row; an empty row gives an empty reach."""
    any_row = mask.any(axis=1)
    first = np.where(any_row, mask.argmax(axis=1), 0)
    last = np.where(any_row, mask.shape[1] - 1 - mask[:, ::-1].argmax(axis=1), 0)
    return first, last


def _outermost(steep: Map, first: int, last: int) -> tuple[float, float, float, float]:
    """Columns of the outermost sharp rise and fall of one row and how steep they are."""
    slack = 4
    low, high = max(1, int(first) - slack), min(len(steep) - 2, int(last) + slack)
    part = steep[low : high + 1]
    if len(part) < 3:
        return float(first), float(last), 0.0, 0.0
    rise, fall = float(part.max()), float(-part.min())
    left = low + int(np.argmax(part > 0.4 * rise))
    right = high - int(np.argmax(part[::-1] < -0.4 * fall))
    while left < high and steep[left + 1] > steep[left]:
        left += 1
    while right > low and steep[right - 1] < steep[right]:
        right -= 1
    return left + _peak(steep, left), right + _peak(-steep, right), float(steep[left]), float(-steep[right])


def _peak(values: Map, place: int) -> float:
    """How far the top of a parabola through three values lies from the middle one."""
    if not 0 < place < len(values) - 1:
        return 0.0
    before, here, after = (float(v) for v in values[place - 1 : place + 2])
    bend = before - 2 * here + after
    return float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0


def axis_of(sides: Sides) -> Axis:
    """The straight line through the middles of the rows, those far off counting less and less."""
    middles = (sides.left + sides.right) / 2
    weight = sides.strength + 1e-3
    factors = np.polyfit(sides.rows, middles, 1, w=weight)
    for _ in range(12):
        off = np.abs(middles - np.polyval(factors, sides.rows))
        scale = max(0.5, 2 * float(np.median(off)))
        # Tukey's biweight: far rows (a handle, a shadow) in the end don't count at all.
        share = np.clip(1 - (off / (3 * scale)) ** 2, 0, 1)
        factors = np.polyfit(sides.rows, middles, 1, w=weight * share + 1e-6)
    return Axis(float(factors[1]), float(-factors[0]))
