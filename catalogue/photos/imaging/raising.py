"""Raised lettering alone, out of a surface that also bends."""

import numpy as np

from .arrays import Map
from .contrast import flattened, strength
from .errors import ImagingError


def raised(height: Map, *, shading: float = 0.03, soften_px: float = 0.7) -> Map:
    """What stands proud of its neighbourhood, from 0 (sunk) over 0.5 (level) to 1, even where it is worn low.

    `height` is `Relief.height_px`, or `Relief.variation` where no lamp was known. Bends wider than `shading`
    (share of the shorter side) are taken away and the rest is divided by its own strength nearby.
    """
    if height.ndim != 2 or min(height.shape) < 8 or not np.isfinite(height).all():
        raise ImagingError("A surface is a map of numbers, at least 8 by 8.")
    if not 0 < shading <= 1 or not 0 <= soften_px <= 50:
        raise ImagingError("Shading is a share above 0 up to 1.")
    sigma = max(2.0, shading * min(height.shape))
    detail = flattened(height, sigma, soften_px)
    largest = float(np.abs(detail).max())
    if largest <= 1e-9:
        return np.full(height.shape, 0.5, dtype=np.float32)
    detail = detail / np.float32(largest)
    return np.asarray(np.clip(0.5 + detail / strength(detail, 2 * sigma) / 6, 0, 1), dtype=np.float32)
