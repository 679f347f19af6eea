"""Background subtraction: the plain ground behind a piece fitted as a polynomial, and Otsu's threshold."""

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Map

REWEIGHTINGS = 9


def fit_background(colours: Map, known: NDArray[np.bool_], degree: int = 2) -> tuple[Map, Map]:
    """The colours (height, width, channels) the ground would have everywhere, and its spread per channel.

    A polynomial of the place of that degree is fitted to the pixels marked `known`; what lies far off is left
    out and the fit repeated. The spread is the robust standard deviation (1.4826 × median deviation).
    """
    height, width, channels = colours.shape
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    x, y = x / width - 0.5, y / height - 0.5
    terms = np.stack([x**i * y**j for i in range(degree + 1) for j in range(degree + 1 - i)], axis=-1)
    flat_terms, flat = terms.reshape(height * width, -1), colours.reshape(-1, channels).astype(np.float64)
    use = known.reshape(-1)
    if use.sum() < 3 * flat_terms.shape[1]:
        raise ImagingError("Too little of the ground shows around the piece.")
    some_terms, some = flat_terms[use], flat[use]
    weight = np.ones(len(some))
    for step in range(REWEIGHTINGS):
        weighed = some_terms * weight[:, None]
        # Few terms make small equations; by lstsq, since on a narrow ground they can be too alike.
        factors = np.linalg.lstsq(weighed.T @ some_terms, weighed.T @ some, rcond=None)[0]
        off = np.abs(some - some_terms @ factors)
        spread = 1.4826 * np.median(off, axis=0) + 1e-3
        far = (off / spread).max(axis=1)
        # First the sum of distances, which a few strange patches can't pull over; then those are left out.
        weight = 1 / np.maximum(far, 0.1) if step < REWEIGHTINGS - 3 else (far < 4).astype(np.float64)
        if weight.sum() < 3 * flat_terms.shape[1]:
            break
    fitted = flat_terms @ factors
    ground = fitted.reshape(height, width, channels).astype(np.float32)
    return ground, np.asarray(spread, dtype=np.float32)


def otsu_threshold(values: NDArray[np.float32], bins: int = 128) -> float:
    """The value that parts two heaps of values best: Otsu 1979."""
    counts, edges = np.histogram(values, bins=bins)
    middles = (edges[:-1] + edges[1:]) / 2
    below = counts.cumsum()
    above = below[-1] - below
    sums = (counts * middles).cumsum()
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    return float(middles[int(np.nanargmax(apart))]) if np.isfinite(apart).any() else float(middles[0])
