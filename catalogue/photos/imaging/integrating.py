"""A surface from its slopes."""

import numpy as np

from .arrays import Map


def integrate(right: Map, down: Map) -> Map:
    """The height (in pixels, mean 0) whose rise per pixel to the right and down fits the two maps best.

    Frankot and Chellappa 1988: the best surface in the least-squares sense, found among cosines. The maps are
    mirrored at their edges, so that one side need not meet the other. Steps as the pixels see them (centred
    differences) would be blind to the finest ripple; the exact derivative of the cosines is used instead.
    """
    height, width = right.shape
    # The mirrored height is even; so its slope across is odd across and even down.
    wide = np.concatenate([right, -right[:, ::-1]], axis=1)
    wide = np.concatenate([wide, wide[::-1]], axis=0)
    tall = np.concatenate([down, -down[::-1]], axis=0)
    tall = np.concatenate([tall, tall[:, ::-1]], axis=1)
    across = (2 * np.pi * np.fft.rfftfreq(2 * width)).astype(np.float32)[None, :]
    along = (2 * np.pi * np.fft.fftfreq(2 * height)).astype(np.float32)[:, None]
    power = across**2 + along**2
    power[0, 0] = 1
    wave = np.fft.rfft2(wide.astype(np.float32)) * across
    wave += np.fft.rfft2(tall.astype(np.float32)) * along
    wave *= np.complex64(-1j)
    wave /= power
    wave[0, 0] = 0
    return np.asarray(np.fft.irfft2(wave, s=(2 * height, 2 * width))[:height, :width], dtype=np.float32)
