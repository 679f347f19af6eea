"""Smooth random fields, the raw stuff of silt, growth, sand and wavy old glass."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Field = NDArray[np.float32]


def smooth_field(rng: np.random.Generator, size: tuple[int, int], cells: tuple[int, int]) -> Field:
    """One octave of noise: `cells` random knots across and down, drawn out to `size` (w, h) pixels.

    Values lie around 0 to 1 (the cubic between knots overshoots a little).
    """
    knots = rng.random((max(2, cells[1]), max(2, cells[0])), dtype=np.float32)
    return np.asarray(Image.fromarray(knots).resize(size, Image.Resampling.BICUBIC), dtype=np.float32)


def fractal(
    rng: np.random.Generator,
    size: tuple[int, int],
    *,
    cell_px: float,
    octaves: int = 4,
    gain: float = 0.5,
    stretch: float = 1.0,
) -> Field:
    """Noise on several scales, the largest `cell_px` pixels wide; `stretch` > 1 draws it out sideways.

    Scaled to run from about 0 to 1 with its middle near 0.5.
    """
    width, height = size
    total = np.zeros((height, width), dtype=np.float32)
    weight, sum_of_squares = 1.0, 0.0
    for octave in range(octaves):
        cell = max(2.0, cell_px / 2**octave)
        cells = (round(width / (cell * stretch)) + 1, round(height / cell) + 1)
        total += weight * (smooth_field(rng, size, cells) - 0.5)
        sum_of_squares += weight * weight
        weight *= gain
    return np.clip(0.5 + total / np.float32(1.15 * np.sqrt(sum_of_squares)), 0.0, 1.0)


def smoothstep(low: float, high: float, value: Field) -> Field:
    """0 below `low`, 1 above `high`, an S between; works downwards too when low > high."""
    t = np.clip((value - low) / (high - low), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


def blur(field: Field, radius_px: float) -> Field:
    """Soften a field by three box passes, close to a Gaussian of that radius; the edge repeats outward.

    Running sums, so the cost does not grow with the radius.
    """
    half = max(1, round(radius_px * 0.98))
    width = 2 * half + 1
    out = np.asarray(field, dtype=np.float64)
    for axis in (0, 1):
        for _ in range(3):
            pad = [(0, 0), (0, 0)]
            pad[axis] = (half + 1, half)
            sums = np.cumsum(np.pad(out, pad, mode="edge"), axis=axis)
            length = sums.shape[axis]
            upper = np.take(sums, range(width, length), axis=axis)
            lower = np.take(sums, range(0, length - width), axis=axis)
            out = (upper - lower) / width
    return out.astype(np.float32)
