"""Smooth random fields, the raw stuff of silt, growth, sand and wavy old glass."""

import numpy as np
from PIL import Image

from .arrays import Floats

Field = Floats
COARSE = 4


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
    # Coarse octaves are added up on a small copy and drawn out once.
    small = (max(2, width // COARSE), max(2, height // COARSE))
    coarse = np.zeros((small[1], small[0]), dtype=np.float32)
    fine = np.zeros((height, width), dtype=np.float32)
    weight, sum_of_squares = 1.0, 0.0
    for octave in range(octaves):
        cell = max(2.0, cell_px / 2**octave)
        cells = (round(width / (cell * stretch)) + 1, round(height / cell) + 1)
        if min(cell, cell * stretch) >= 3 * COARSE:
            coarse += weight * (smooth_field(rng, small, cells) - 0.5)
        else:
            fine += weight * (smooth_field(rng, size, cells) - 0.5)
        sum_of_squares += weight * weight
        weight *= gain
    if coarse.any():
        fine += np.asarray(Image.fromarray(coarse).resize(size, Image.Resampling.BICUBIC), dtype=np.float32)
    result: Field = np.clip(0.5 + fine / np.float32(1.15 * np.sqrt(sum_of_squares)), 0.0, 1.0)
    return result


def smoothstep(low: float, high: float, value: Field) -> Field:
    """0 below `low`, 1 above `high`, an S between; works downwards too when low > high."""
    t = np.clip((value - low) / (high - low), 0.0, 1.0)
    result: Field = t * t * (3.0 - 2.0 * t)
    return result


def blur(field: Field, radius_px: float) -> Field:
    """Soften a field with a Gaussian of that radius; the edge repeats outward.

    A wide one is done on a smaller copy: nothing fine is left of it anyway, and it costs a tenth.
    """
    if radius_px > 4.0:
        factor = int(radius_px / 2.0)
        height, width = field.shape
        small = (max(2, width // factor), max(2, height // factor))
        image = Image.fromarray(np.ascontiguousarray(field, dtype=np.float32))
        shrunk = np.asarray(image.resize(small, Image.Resampling.BOX))
        soft = Image.fromarray(blur(shrunk, radius_px * small[0] / width))
        return np.asarray(soft.resize((width, height), Image.Resampling.BICUBIC))
    half = max(1, round(2.6 * radius_px))
    taps = np.exp(-0.5 * (np.arange(-half, half + 1) / radius_px) ** 2)
    taps = (taps / taps.sum()).astype(np.float32)
    out = np.asarray(field, dtype=np.float32)
    for axis in (0, 1):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (half, half)
        padded = np.pad(out, pad, mode="edge")
        length = out.shape[axis]
        total = np.zeros_like(out)
        for number, tap in enumerate(taps):
            span = slice(number, number + length)
            total += tap * (padded[span] if axis == 0 else padded[:, span])
        out = total
    return out
