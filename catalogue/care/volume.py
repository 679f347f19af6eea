"""Volume: how much stands up to a line in a vessel, what a piece displaces and holds, whether pieces go in.

Pure solid geometry, elementary. A round vessel is the frustum of a cone; a rectangular one a prismatoid,
exact for flat sides: height / 6 · (bottom + 4 · middle + top), each an area (the prismoidal formula, which is
Simpson's rule). A height is found from a volume by bisection. A piece is a solid of revolution: numerical
integration over a stack of frusta. The figures of glass are from memory.
"""

import math
from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.care.packing import GAP_MM, Disc, Rectangle, Size, Spot


class Shape(ABC):
    """Inside measures of a vessel, mm; heights count from the bottom."""

    __slots__ = ()

    height_mm: float

    @property
    @abstractmethod
    def widest_mm(self) -> float:
        """The greatest width seen from the front."""

    @abstractmethod
    def width_at(self, height_mm: float) -> float:
        """Inside width seen from the front, at that height."""

    @abstractmethod
    def volume_to(self, height_mm: float) -> float:
        """ml up to a line at that height."""

    @abstractmethod
    def room(self, low_mm: float, high_mm: float) -> Disc | Rectangle:
        """The floor that is free everywhere between two heights."""

    @property
    def volume_ml(self) -> float:
        return self.volume_to(self.height_mm)

    def height_of(self, volume_ml: float) -> float:
        """mm above the bottom at which that many ml stand; the vessel's height where they don't go in."""
        low, high = 0.0, self.height_mm
        if volume_ml >= self.volume_ml:
            return high
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.volume_to(middle) < volume_ml else (low, middle)
        return (low + high) / 2


@dataclass(frozen=True, slots=True)
class Round(Shape):
    """A tub or pail."""

    top_mm: float
    bottom_mm: float
    height_mm: float

    @property
    def widest_mm(self) -> float:
        return max(self.top_mm, self.bottom_mm)

    def width_at(self, height_mm: float) -> float:
        return _between(self.bottom_mm, self.top_mm, height_mm / self.height_mm)

    def volume_to(self, height_mm: float) -> float:
        low, high = self.bottom_mm, self.width_at(height_mm)
        return math.pi * height_mm / 12 * (low * low + low * high + high * high) / 1000

    def room(self, low_mm: float, high_mm: float) -> Disc:
        # A vessel may close in upwards or downwards: the narrow end counts.
        return Disc(min(self.width_at(low_mm), self.width_at(high_mm)))


@dataclass(frozen=True, slots=True)
class Box(Shape):
    """A storage box or a tub with straight sides; its length is what one sees from the front."""

    top_length_mm: float
    top_width_mm: float
    bottom_length_mm: float
    bottom_width_mm: float
    height_mm: float

    @property
    def widest_mm(self) -> float:
        return max(self.top_length_mm, self.bottom_length_mm)

    def width_at(self, height_mm: float) -> float:
        return _between(self.bottom_length_mm, self.top_length_mm, height_mm / self.height_mm)

    def deep_at(self, height_mm: float) -> float:
        """Inside width from front to back, at that height."""
        return _between(self.bottom_width_mm, self.top_width_mm, height_mm / self.height_mm)

    def volume_to(self, height_mm: float) -> float:
        length, width = self.bottom_length_mm, self.bottom_width_mm
        up_length, up_width = self.width_at(height_mm), self.deep_at(height_mm)
        four_middles = (length + up_length) * (width + up_width)
        return height_mm / 6 * (length * width + four_middles + up_length * up_width) / 1000

    def room(self, low_mm: float, high_mm: float) -> Rectangle:
        return Rectangle(
            min(self.width_at(low_mm), self.width_at(high_mm)),
            min(self.deep_at(low_mm), self.deep_at(high_mm)),
        )


def _between(low: float, high: float, share: float) -> float:
    return low + (high - low) * share


# g/ml of soda-lime container glass, from memory of handbooks (2.4 to 2.6).
GLASS_G_PER_ML = 2.5
# Share of the whole outside that is glass where neither mass nor capacity is known: our own guess from thick
# old bottles (a 350 ml soda bottle of 560 g: 224 ml of glass in 574 ml).
GLASS_SHARE = 0.38


@dataclass(frozen=True, slots=True)
class Volume:
    """ml, and where the figure comes from; None where nothing is known."""

    ml: float | None
    how: str


def outside_ml(profile: Sequence[tuple[float, float]], height_mm: float, width_mm: float) -> float:
    """Volume of a solid of revolution whose outline is (height, half width), each from 0 to 1."""
    radius = width_mm / 2
    total = 0.0
    for (h0, r0), (h1, r1) in zip(profile, profile[1:], strict=False):
        a, b = r0 * radius, r1 * radius
        total += math.pi * (h1 - h0) * height_mm / 3 * (a * a + a * b + b * b)
    return total / 1000


def glass_ml(
    *,
    mass_g: float | None = None,
    capacity_ml: float | None = None,
    outside: float | None = None,
) -> Volume:
    """What the glass itself displaces once the piece is filled."""
    if mass_g:
        return Volume(mass_g / GLASS_G_PER_ML, "from its mass")
    if outside and capacity_ml and outside > capacity_ml:
        return Volume(outside - capacity_ml, "from its outline and capacity")
    if outside:
        return Volume(outside * GLASS_SHARE, "from its outline, a guess")
    if capacity_ml:
        return Volume(capacity_ml * GLASS_SHARE / (1 - GLASS_SHARE), "from its capacity, a guess")
    return Volume(None, "not recorded: weigh it, or give height and width")


def inside_ml(
    *, capacity_ml: float | None = None, mass_g: float | None = None, outside: float | None = None
) -> Volume:
    """What it holds when it is filled so that it sinks."""
    if capacity_ml:
        return Volume(capacity_ml, "its capacity")
    if outside and mass_g and outside > mass_g / GLASS_G_PER_ML:
        return Volume(outside - mass_g / GLASS_G_PER_ML, "from its outline and mass")
    if outside:
        return Volume(outside * (1 - GLASS_SHARE), "from its outline, a guess")
    return Volume(None, "not recorded")


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
