"""By how far two maps are shifted against each other, to a part of a pixel."""

import numpy as np

from .arrays import Map


def shift_between(still: Map, other: Map) -> tuple[float, float]:
    """How far right and down (pixels) the things of `still` lie in `other`, by phase correlation.

    Kuglin and Hines 1975; the peak to a part of a pixel as the centre of its neighbourhood. Phases are
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
    rows = (np.arange(-2, 3) + down) % height
    columns = (np.arange(-2, 3) + right) % width
    near = np.maximum(peak[np.ix_(rows, columns)], 0)
    total = float(near.sum()) or 1.0
    fine_down = float(down) + float((near.sum(axis=1) * np.arange(-2, 3)).sum()) / total
    fine_right = float(right) + float((near.sum(axis=0) * np.arange(-2, 3)).sum()) / total
    return (
        fine_right - width if fine_right > width / 2 else fine_right,
        fine_down - height if fine_down > height / 2 else fine_down,
    )
