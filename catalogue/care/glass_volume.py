"""How much liquid a piece pushes aside, and how much it takes in: from its mass, else from its outline.

Pure geometry of solids of revolution; the figures of glass are from memory.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

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
    return Volume(None, "not known: weigh it, or give height and width")


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
    return Volume(None, "not known")
