"""CLAHE (contrast-limited adaptive histogram equalisation) and local contrast: faint lettering stands out."""

import numpy as np
from numpy.typing import NDArray

from .arrays import ImagingError, Map, Picture, grey
from .gaussian_blur import band_pass, local_rms

GREYS = 256


def local_contrast(
    image: Picture, *, shading: float = 0.05, soften_px: float = 1.0, clip: float = 3.0, tiles: int = 8
) -> Map:
    """Grey values (height, width) from 0 to 1 in which faint detail stands out and slow shading is gone.

    What is wider than `shading` (share of the shorter side) counts as shading. Its logarithm is taken away,
    since light and surface multiply; the rest is divided by its own strength nearby, so that a faint part
    of a word rises to the level of a clear one, then equalised in `tiles` parts along the longer side with
    contrast limit `clip`. `soften_px` (Gaussian, pixels) keeps grain from being lifted as well; 0 for none.
    """
    if not 0 < shading <= 1 or not 0 <= soften_px <= 50 or clip < 1 or not 1 <= tiles <= 64:
        raise ImagingError(
            "Shading is a share above 0 up to 1, the limit at least 1, and there are 1 to 64 parts."
        )
    values = grey(image)
    sigma = max(2.0, shading * min(values.shape))
    detail = band_pass(np.log(values + np.float32(0.02)), sigma, soften_px)
    levelled = detail / local_rms(detail, 2 * sigma)
    parts = [max(1, min(round(tiles * side / max(values.shape)), side // 4)) for side in values.shape]
    return clahe(np.clip(0.5 + levelled / 8, 0, 1).astype(np.float32), (parts[0], parts[1]), clip)


def clahe(values: Map, tiles: tuple[int, int], clip: float) -> Map:
    """`values` (0 to 1) equalised in `tiles` (down, across) parts, blended from part to part.

    `clip` times the mean height of a part's histogram is the most one grey may count; what is cut off is
    dealt out evenly, so that noise in an even part is lifted by no more than that. Zuiderveld, Contrast
    limited adaptive histogram equalization, Graphics Gems IV, 1994.
    """
    height, width = values.shape
    down, across = tiles
    tall, wide = -(-height // down), -(-width // across)
    padded = np.pad(values, ((0, tall * down - height), (0, wide * across - width)), mode="symmetric")
    greys = np.round(np.clip(padded, 0, 1) * (GREYS - 1)).astype(np.intp)
    curves = np.empty((down, across, GREYS), dtype=np.float32)
    for row in range(down):
        for column in range(across):
            part = greys[row * tall : (row + 1) * tall, column * wide : (column + 1) * wide]
            curves[row, column] = _curve(part, clip)
    return _blended(greys[:height, :width], curves, tall, wide)


def _curve(part: NDArray[np.intp], clip: float) -> NDArray[np.float64]:
    """New grey (0 to 1) for each old one: the running total of the clipped histogram."""
    counts = np.bincount(part.ravel(), minlength=GREYS).astype(np.float64)
    most = max(1.0, clip * part.size / GREYS)
    over = np.maximum(counts - most, 0).sum()
    counts = np.minimum(counts, most) + over / GREYS
    return np.asarray(counts.cumsum() / part.size)


def _blended(greys: NDArray[np.intp], curves: Map, tall: int, wide: int) -> Map:
    """Each pixel by the curves of the four parts whose middles surround it, by nearness."""
    height, width = greys.shape
    down, across = curves.shape[:2]
    y = (np.arange(height, dtype=np.float32) + 0.5) / tall - 0.5
    x = (np.arange(width, dtype=np.float32) + 0.5) / wide - 0.5
    top, left = np.floor(y).astype(np.intp), np.floor(x).astype(np.intp)
    below, right = (y - top)[:, None], (x - left)[None, :]
    flat = curves.reshape(-1)
    total = np.zeros(greys.shape, dtype=np.float32)
    for step_y, share_y in ((0, 1 - below), (1, below)):
        row = np.clip(top + step_y, 0, down - 1) * (across * GREYS)
        for step_x, share_x in ((0, 1 - right), (1, right)):
            column = np.clip(left + step_x, 0, across - 1) * GREYS
            place = greys + row[:, None] + column[None, :]
            total += flat[place] * share_y * share_x
    return total
