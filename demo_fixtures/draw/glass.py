"""The glass colours: how much of red, green and blue each swallows per millimetre.

Light through a wall of thickness d falls to exp(-a*d) (Beer and Lambert). The coefficients are ours,
chosen by eye so that two 4 mm walls look like the glass collectors call by that name; no source.
"""

from dataclasses import dataclass

import numpy as np

from .arrays import Floats


@dataclass(frozen=True, slots=True)
class Glass:
    """A colour of glass: `absorb` per mm for red, green, blue; `body` its own colour if light can't pass."""

    words: str
    absorb: tuple[float, float, float]
    body: tuple[float, float, float] | None = None

    def through(self, path_mm: Floats) -> Floats:
        """Share of light left after `path_mm` of this glass, one value a channel in a last axis."""
        coefficients = np.asarray(self.absorb, dtype=np.float32)
        result: Floats = np.exp(-path_mm[..., None] * coefficients)
        return result


GLASSES: dict[str, Glass] = {
    "aqua": Glass("aqua: pale blue-green", (0.048, 0.0155, 0.0185)),
    "deep aqua": Glass("deep aqua: strong blue-green", (0.092, 0.028, 0.034)),
    "colourless": Glass("colourless", (0.011, 0.0075, 0.0095)),
    "amber": Glass("amber", (0.030, 0.105, 0.34)),
    "honey amber": Glass("honey amber: light yellow-brown", (0.016, 0.060, 0.21)),
    "olive": Glass("olive green, black in thick parts", (0.115, 0.092, 0.26)),
    "cobalt": Glass("cobalt blue", (0.265, 0.155, 0.022)),
    "sun-purple": Glass("sun-purple: turned by years of sunlight", (0.026, 0.052, 0.022)),
    "emerald": Glass("emerald green", (0.215, 0.042, 0.125)),
    "milk": Glass("milk glass: white, opaque", (0.9, 0.9, 0.9), (0.97, 0.96, 0.92)),
    "stoneware": Glass("stoneware: salt-glazed, not glass", (0.9, 0.9, 0.9), (0.58, 0.46, 0.31)),
}
