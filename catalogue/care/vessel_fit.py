"""Whether pieces go into a vessel, standing or lying, under the line of the liquid. Pure geometry."""

from collections.abc import Sequence
from dataclasses import dataclass

from .floor_round import GAP_MM, Size, Spot
from .vessel_shape import Shape


@dataclass(frozen=True, slots=True)
class Fit:
    """How many pieces go in one way, under the line; `spots` where they stand, `layers` how they lie."""

    placed: int
    of: int
    why_not: str = ""
    spots: tuple[Spot, ...] = ()
    layers: int = 0

    @property
    def all(self) -> bool:
        return self.placed == self.of


def fit_standing(shape: Shape, depth_mm: float, pieces: Sequence[Size]) -> Fit:
    """Upright on the bottom and wholly under the line at `depth_mm`."""
    low = [piece for piece in pieces if piece.height_mm <= depth_mm]
    spots = shape.room(0, depth_mm).stand([piece.width_mm for piece in low])
    tall = len(pieces) - len(low)
    why = ""
    if tall:
        why = f"{tall} would stand out of the liquid"
    elif len(spots) < len(low):
        why = "the bottom is full"
    return Fit(len(spots), len(pieces), why, tuple(spots))


def fit_lying(shape: Shape, depth_mm: float, pieces: Sequence[Size]) -> Fit:
    """Side by side in layers, the widest lowest, until the line at `depth_mm`."""
    left = sorted(pieces, key=lambda piece: (-piece.width_mm, -piece.height_mm))
    foot, layers, placed, why = 0.0, 0, 0, ""
    while left:
        thick = left[0].width_mm
        if foot + thick > depth_mm:
            why = "the layers reach the line" if layers else "too thick to lie under the line"
            break
        laid = shape.room(foot, foot + thick).lay(left)
        if not laid:
            why = "too long for it"
            break
        layers += 1
        placed += len(laid)
        left = [piece for place, piece in enumerate(left) if place not in laid]
        foot += thick + GAP_MM
    return Fit(placed, len(pieces), why, layers=layers)
