"""Lines on a vessel: how much stands up to a height, how high an amount stands.

A vessel is round or rectangular, its top and bottom may differ in size. Pure solid geometry, elementary.
A round one is the frustum of a cone; a rectangular one a prismatoid, exact for flat sides:
height / 6 · (bottom + 4 · middle + top), each an area.
"""

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass

from .floor_box import Rectangle
from .floor_round import Disc


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
