"""The light around a vessel: what a ray sees that leaves it sideways, up or back to the room."""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats
from .colour import Light, from_hex, mix
from .noise import smoothstep

Rays = Floats


@dataclass(frozen=True, slots=True)
class Lamp:
    """A soft rectangular lamp: where it stands (degrees right of the eye and up), half sizes, strength."""

    bearing: float
    up: float
    half_wide: float
    half_tall: float
    strength: float
    soft: float = 4.0


@dataclass(frozen=True, slots=True)
class Room:
    """All lamps, and the colours of what is overhead, at the sides and below."""

    lamps: tuple[Lamp, ...]
    overhead: str
    sides: str
    below: str
    behind: float = 1.0
    """How brightly the ground behind shines through."""
    grade: float = 0.0
    """Light falling from the left (1) against from straight ahead (0)."""

    def seen(self, right: Rays, away: Rays, up: Rays) -> Light:
        """Light from a direction (unit vectors), (rays, 3)."""
        bearing = np.degrees(np.arctan2(right, -away))
        height = np.degrees(np.arcsin(np.clip(up, -1, 1)))
        light = mix(from_hex(self.sides), from_hex(self.overhead), smoothstep(-5.0, 75.0, height))
        light = mix(light, from_hex(self.below), smoothstep(0.0, -55.0, height))
        glow = np.zeros_like(bearing)
        for lamp in self.lamps:
            off = np.abs((bearing - lamp.bearing + 180) % 360 - 180)
            near = np.nonzero(off < lamp.half_wide + lamp.soft)[0]
            wide = smoothstep(lamp.half_wide + lamp.soft, lamp.half_wide, off[near])
            away_up = np.abs(height[near] - lamp.up)
            glow[near] += (
                lamp.strength * wide * smoothstep(lamp.half_tall + 2 * lamp.soft, lamp.half_tall, away_up)
            )
        return light + glow[:, None]

    def aside(self, degrees: Rays, downward: Rays) -> Light:
        """Light met by a ray bent so far from straight on, (rays, 3): darker to the sides.

        It is what draws a vessel's edge. `downward` runs from -1 (bent up) to 1 (bent down).
        """
        bent = 0.5 + 0.5 * smoothstep(62.0, 18.0, np.abs(degrees))
        light = mix(np.zeros(3, dtype=np.float32), from_hex(self.sides), bent)
        light = mix(light, from_hex(self.below) * 0.8, np.maximum(downward, 0) ** 2)
        return mix(light, from_hex(self.overhead) * 0.8, np.maximum(-downward, 0) ** 2)


STUDIO_BEHIND = Room(
    (Lamp(-64, 8, 7, 42, 9.5, 9), Lamp(76, 4, 2.5, 38, 5.0, 5), Lamp(0, 66, 60, 8, 2.0, 12)),
    overhead="#d5d8cd",
    sides="#3c4c48",
    below="#a99f8b",
)
STUDIO_SIDE = Room(
    (Lamp(-58, 10, 10, 44, 14.0, 10), Lamp(82, 6, 3, 40, 4.2, 5), Lamp(-10, 70, 60, 8, 2.0, 12)),
    overhead="#8f988f",
    sides="#27322f",
    below="#6d6455",
    behind=0.94,
    grade=1.0,
)
QUAY = Room(
    (Lamp(-40, 48, 46, 26, 2.0, 14), Lamp(84, 20, 16, 30, 0.9, 12)),
    overhead="#c4d2d6",
    sides="#4b5853",
    below="#5b5245",
    behind=0.9,
    grade=0.7,
)
UNDER_WATER = Room(
    (Lamp(-24, 66, 50, 20, 1.5, 18),),
    overhead="#86bfb4",
    sides="#1f4f4d",
    below="#3d5650",
    behind=0.95,
    grade=0.45,
)
