"""By how far two maps are shifted against each other, to a part of a pixel."""

import numpy as np
from numpy.typing import NDArray

from .arrays import Map


def shift_between(still: Map, other: Map) -> tuple[float, float]:
    """How far right and down (pixels) the things of `still` lie in `other`, by phase correlation.

    Kuglin and Hines 1975; the peak to a part of a pixel. Phases are
    softened by a Gaussian, so that the finest, noisiest ones don't speak, and the edges faded by a Hann
    window.
    """
    height, width = still.shape
    window = np.hanning(height + 2)[1:-1, None] * np.hanning(width + 2)[None, 1:-1]
    one = np.fft.rfft2((still - still.mean()) * window)
    two = np.fft.rfft2((other - other.mean()) * window)
    cross = np.conj(one) * two
    size = np.abs(cross)
    high = np.fft.fftfreq(height)[:, None] ** 2 + np.fft.rfftfreq(width)[None, :] ** 2
    phases = cross / np.maximum(size, 1e-9 * max(float(size.max()), 1e-30)) * np.exp(-high / (2 * 0.12**2))
    peak = np.fft.irfft2(phases, s=(height, width))
    down, right = np.unravel_index(int(peak.argmax()), peak.shape)
    # A parabola through the peak's logarithm is exact for the Gaussian that the softened peak is.
    fine_down = float(down) + _top(peak[np.arange(int(down) - 1, int(down) + 2) % height, right])
    fine_right = float(right) + _top(peak[down, np.arange(int(right) - 1, int(right) + 2) % width])
    return (
        fine_right - width if fine_right > width / 2 else fine_right,
        fine_down - height if fine_down > height / 2 else fine_down,
    )


def _top(around: NDArray[np.float64]) -> float:
    """How far from the middle of three values the top lies."""
    before, here, after = np.log(np.maximum(around, 1e-12 * max(float(around[1]), 1e-30)))
    bend = before - 2 * here + after
    return float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0
