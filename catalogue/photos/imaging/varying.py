"""What changes when the lamp walks around a piece: raised edges do, the even ground does not."""

import numpy as np

from .arrays import Map
from .blurring import blur, unshaded

SIDES = 2


def variation(stack: Map, *, shading: float = 0.05, soften_px: float = 1.0) -> Map:
    """How much each pixel varies between aligned maps of light (n, height, width), 1 being its brightness.

    No direction of any lamp is needed. Each picture's slow shading is divided out. On a dull surface the rest
    depends on the slope in two directions only, so that the two strongest patterns (principal components)
    hold the lettering and the others grain: those are left out, and their level taken off. With four pictures
    or fewer all of it is kept.
    """
    count = len(stack)
    sigma = max(2.0, shading * min(stack.shape[1:]))
    flat = np.empty_like(stack)
    for number, picture in enumerate(stack):
        flat[number] = blur(unshaded(picture, sigma), soften_px)
    flat -= flat.mean(axis=0)
    rows = flat.reshape(count, -1)
    if count <= SIDES + 2:
        squares = (rows * rows).sum(axis=0) / count
        return np.asarray(np.sqrt(squares).reshape(stack.shape[1:]), dtype=np.float32)
    spread = (rows @ rows.T).astype(np.float64) / rows.shape[1]
    levels, patterns = np.linalg.eigh(spread)
    strong = patterns[:, -SIDES:].T.astype(np.float32) @ rows
    squares = (strong * strong).sum(axis=0) / count
    # The smallest level is 0 (the mean was taken away); the middle ones are grain and shine.
    grain = SIDES * float(np.median(levels[1:-SIDES])) / count
    return np.asarray(np.sqrt(np.maximum(squares - grain, 0)).reshape(stack.shape[1:]), dtype=np.float32)
