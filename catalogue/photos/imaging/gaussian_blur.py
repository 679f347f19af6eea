"""Gaussian blur of a map, and what is made with it: flat-field correction, band-pass, local RMS.

In numpy and Pillow alone.
"""

import numpy as np

from .arrays import Map, resized

_WIDE_SIGMA = 5.0


def gaussian_blur(values: Map, sigma: float) -> Map:
    """`values` softened by a Gaussian of `sigma` pixels; the edge is repeated outward.

    A wide one is worked out on a smaller copy: nothing fine is left of it, and it costs a tenth.
    """
    if sigma <= 0:
        return np.asarray(values, dtype=np.float32)
    height, width = values.shape
    factor = int(sigma / 2) if sigma > _WIDE_SIGMA else 1
    small = (max(4, round(width / factor)), max(4, round(height / factor)))
    if factor > 1 and small[0] < width and small[1] < height:
        # Averaging over `factor` pixels has already softened by a variance of (factor² − 1) / 12.
        left = np.sqrt(max(0.25, (sigma**2 - (factor**2 - 1) / 12) / factor**2))
        soft = _separable(resized(values, *small), float(left))
        return resized(soft, width, height)
    return _separable(values, sigma)


def _separable(values: Map, sigma: float) -> Map:
    half = max(1, round(3 * sigma))
    taps = np.exp(-0.5 * (np.arange(-half, half + 1) / sigma) ** 2)
    taps = (taps / taps.sum()).astype(np.float32)
    out = np.asarray(values, dtype=np.float32)
    for axis in (0, 1):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (half, half)
        wide = np.pad(out, pad, mode="edge")
        length = out.shape[axis]
        total = np.zeros_like(out)
        for step, tap in enumerate(taps):
            total += tap * (wide[step : step + length] if axis == 0 else wide[:, step : step + length])
        out = total
    return out


def flat_field(values: Map, sigma: float) -> Map:
    """`values` (light, 0 or more) divided by their own softened copy: 1 where evenly lit, no slow shading.

    What is nearly black is held back so that its noise is not blown up.
    """
    floor = np.float32(max(1e-4, 0.04 * float(np.quantile(values[::4, ::4], 0.95))))
    return (values + floor) / (gaussian_blur(values, sigma) + floor)


def band_pass(values: Map, sigma: float, soften_px: float) -> Map:
    """What lies between the two widths: softened by one, with the softening by the other taken away."""
    return np.asarray(gaussian_blur(values, soften_px) - gaussian_blur(values, sigma), dtype=np.float32)


def local_rms(detail: Map, sigma: float) -> Map:
    """How strong detail is around each pixel (root mean square within `sigma`), with a floor.

    The floor, a quarter of the whole, keeps an even part even instead of raising its grain to the level of
    lettering.
    """
    squares = gaussian_blur(detail * detail, sigma)
    typical = float(np.sqrt(squares.mean()))
    return np.sqrt(np.maximum(squares, 0) + np.float32(max(0.25 * typical, 1e-3) ** 2)).astype(np.float32)
