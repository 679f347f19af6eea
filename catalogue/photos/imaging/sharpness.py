"""Sharpness (focus measure) of a picture, to be compared among pictures of one scene only."""

import numpy as np

from .arrays import Picture, grey


def focus(image: Picture) -> float:
    """Sharpness: the variance of the Laplacian of the grey values (on their scale 0 to 255).

    Pech-Pacheco and others 2000. It grows with contrast and noise as well as with sharpness, so it ranks the
    pictures of one scene and says nothing between scenes. 0 for an even grey.
    """
    values = grey(image) * np.float32(255)
    bend = (
        -4 * values[1:-1, 1:-1] + values[:-2, 1:-1] + values[2:, 1:-1] + values[1:-1, :-2] + values[1:-1, 2:]
    )
    return float(bend.var(dtype=np.float64))
