"""Faint lettering lifted out of one picture: slow shading taken away, what is left made strong everywhere."""

import numpy as np

from .arrays import Map, Picture, grey
from .blurring import blur
from .equalising import equalised
from .errors import ImagingError


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
    detail = flattened(np.log(values + np.float32(0.02)), sigma, soften_px)
    levelled = detail / strength(detail, 2 * sigma)
    parts = [max(1, min(round(tiles * side / max(values.shape)), side // 4)) for side in values.shape]
    return equalised(np.clip(0.5 + levelled / 8, 0, 1).astype(np.float32), (parts[0], parts[1]), clip)


def flattened(values: Map, sigma: float, soften_px: float) -> Map:
    """What lies between the two widths: softened by one, with the softening by the other taken away."""
    return np.asarray(blur(values, soften_px) - blur(values, sigma), dtype=np.float32)


def strength(detail: Map, sigma: float) -> Map:
    """How strong detail is around each pixel (root mean square within `sigma`), with a floor.

    The floor, a quarter of the whole, keeps an even part even instead of raising its grain to the level of
    lettering.
    """
    squares = blur(detail * detail, sigma)
    typical = float(np.sqrt(squares.mean()))
    return np.sqrt(np.maximum(squares, 0) + np.float32(max(0.25 * typical, 1e-3) ** 2)).astype(np.float32)
