"""The wall behind a row of bottles told from them: background subtraction where the wall is known."""

import numpy as np

from .arrays import Map, downsampled, resized
from .background import fit_background
from .connected_components import Mask, closed, connected_components, dilated
from .gaussian_blur import gaussian_blur

WALL_FIT_PX = 240
WALL_SPREADS = 3.5
"""How many times the wall's own variation something must differ."""
LEAST_SPREAD = 0.012
LEAST_KNOWN = 8
OUTLINE_STEEP = 3.0
"""How much steeper than the picture usually is an outline is."""


def off_the_wall(wall: Map) -> Mask:
    """What stands before the wall of a picture's part (height, width, channels; fractions) above a board.

    The wall is known where it is reached from above without crossing an outline; a polynomial of its colours
    over the place, corrected row by row, says how it goes on behind the bottles. What differs by more than
    the wall itself varies is not the wall, nor is what that encloses. Raises ImagingError where too little of
    the wall shows.
    """
    height, width, _ = wall.shape
    shrunk = max(1.0, max(height, width) / WALL_FIT_PX)
    small = downsampled(wall, shrunk)
    known = resized(_open_wall(wall).astype(np.float32), small.shape[1], small.shape[0]) > 0.9
    ground, _ = fit_background(small, known, degree=3)
    # The shadow under the board above lies on whole rows.
    ground += _by_rows(small - ground, known)
    off = np.abs(small - ground)[known]
    spread = np.maximum(1.4826 * np.median(off, axis=0), LEAST_SPREAD)
    full = np.stack([resized(layer, width, height) for layer in np.moveaxis(ground, 2, 0)], axis=2)
    differs = np.sqrt((((wall - full) / spread) ** 2).mean(axis=2))
    soft = gaussian_blur(np.asarray(differs, dtype=np.float32), 1.0)
    mask = _filled(closed(soft > WALL_SPREADS, max(2, width // 300)))
    mask = np.asarray(dilated(dilated(mask, -2), 2))
    # The board's own top, where it is taken for glass, would join all that stands on it.
    share = mask.mean(axis=1)
    low = round(0.8 * height)
    mask[low:][share[low:] > share[low] + 0.2] = False
    return mask


def _by_rows(off: Map, known: Mask) -> Map:
    """By how much each row as a whole differs (height, 1, channels): the median where it is `known`."""
    rows = np.zeros((len(off), 1, off.shape[2]), dtype=np.float32)
    for row, sure in enumerate(known):
        if sure.sum() > LEAST_KNOWN:
            rows[row, 0] = np.median(off[row][sure], axis=0)
    return rows


def _open_wall(wall: Map) -> Mask:
    """The wall as far as it can be reached from above without crossing an outline."""
    down = np.zeros(wall.shape[:2], dtype=np.float32)
    across = np.zeros(wall.shape[:2], dtype=np.float32)
    for layer in np.moveaxis(wall, 2, 0):
        by_row, by_column = np.gradient(gaussian_blur(layer, 1.0))
        # The shadow under the board above lies on the whole row.
        down += np.abs(by_row - np.median(by_row, axis=1, keepdims=True))
        across += np.abs(by_column)
    steep = np.hypot(down, across)
    outline = closed(steep > OUTLINE_STEEP * np.median(steep), 1)
    labels, _ = connected_components(~outline)
    reached = np.unique(labels[: max(2, len(wall) // 12)])
    return np.asarray(np.isin(labels, reached[reached > 0]))


def _filled(mask: Mask) -> Mask:
    """The mask with its holes filled: what isn't open to the top or the sides; the board closes it below."""
    labels, rest = connected_components(~mask)
    height, width = mask.shape
    holes = [p.label for p in rest if p.top > 0 and p.left > 0 and p.right < width]
    return np.asarray(mask | np.isin(labels, holes))
