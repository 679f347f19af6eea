"""The plain ground behind a piece, guessed from where no piece is, and what differs from it."""

import numpy as np
from numpy.typing import NDArray

from .arrays import Map
from .errors import ImagingError

ROUNDS = 4


def smooth_ground(colours: Map, known: NDArray[np.bool_], degree: int = 2) -> tuple[Map, Map]:
    """The colours (height, width, channels) the ground would have everywhere, and its spread per channel.

    A polynomial of the place of that degree is fitted to the pixels marked `known`; what lies far off is left
    out and the fit repeated. The spread is the robust standard deviation (1.4826 × median deviation).
    """
    height, width, channels = colours.shape
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    x, y = x / width - 0.5, y / height - 0.5
    terms = np.stack([x**i * y**j for i in range(degree + 1) for j in range(degree + 1 - i)], axis=-1)
    flat_terms, flat = terms.reshape(height * width, -1), colours.reshape(-1, channels).astype(np.float64)
    use = known.reshape(-1).copy()
    if use.sum() < 3 * flat_terms.shape[1]:
        raise ImagingError("Too little of the ground shows around the piece.")
    spread = np.ones(channels)
    fitted = flat
    for _ in range(ROUNDS):
        factors = np.linalg.lstsq(flat_terms[use], flat[use], rcond=None)[0]
        fitted = flat_terms @ factors
        off = np.abs(flat - fitted)
        spread = 1.4826 * np.median(off[use], axis=0) + 1e-3
        near = known.reshape(-1) & (off < 4 * spread).all(axis=1)
        if near.sum() < 3 * flat_terms.shape[1]:
            break
        use = near
    ground = fitted.reshape(height, width, channels).astype(np.float32)
    return ground, np.asarray(spread, dtype=np.float32)


def parting(values: NDArray[np.float32], bins: int = 128) -> float:
    """The value that parts two heaps of values best: Otsu 1979."""
    counts, edges = np.histogram(values, bins=bins)
    middles = (edges[:-1] + edges[1:]) / 2
    below = counts.cumsum()
    above = below[-1] - below
    sums = (counts * middles).cumsum()
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    return float(middles[int(np.nanargmax(apart))]) if np.isfinite(apart).any() else float(middles[0])
