"""A patch of several touching bottles cut into single ones."""

import numpy as np
from numpy.typing import NDArray

from .regions import Mask, Region

Box = tuple[int, int, int, int, float]


def parts_of(mask: Mask, patch: Region) -> list[Box]:
    """The bottles of a patch as boxes (left, top, right, bottom, confidence) in the picture.

    `mask` is the patch within its box. The height of its top edge over the columns has one peak for each
    bottle, its neck; it is cut at the lowest place between two peaks where that lies clearly lower than both.
    """
    height, width = mask.shape
    top = np.where(mask.any(axis=0), height - mask.argmax(axis=0), 0).astype(float)
    cuts = _valleys(top, depth=0.12 * height, apart=max(4, round(0.12 * height)))
    boxes = []
    for left, right in zip([0, *cuts], [*cuts, width], strict=True):
        part = mask[:, left:right]
        columns = np.flatnonzero(part.sum(axis=0) >= 0.2 * part.sum(axis=0).max())
        if len(columns) < 3:
            continue
        part = part[:, columns[0] : columns[-1] + 1]
        rows = np.flatnonzero(part.any(axis=1))
        start = patch.left + left + int(columns[0])
        box = (start, patch.top + int(rows[0]), start + part.shape[1], patch.top + int(rows[-1]) + 1)
        boxes.append((*box, _confidence(part[rows[0] : rows[-1] + 1], cut=len(cuts) > 0)))
    return boxes


def _valleys(top: NDArray[np.float64], depth: float, apart: int) -> list[int]:
    """Columns of the valleys at least `depth` lower than a peak on both sides, peaks `apart` columns off."""
    cuts: list[int] = []
    peak = valley = 0
    for column in range(1, len(top)):
        rise = top[column] - top[valley]
        if top[peak] - top[valley] >= depth and rise >= depth and column - peak >= apart:
            low = np.flatnonzero(top[peak : column + 1] <= top[valley] + 1) + peak
            cuts.append(int(round(float(low.mean()))))
            peak = valley = column
        elif top[column] > top[peak]:
            peak = valley = column
        elif top[column] < top[valley]:
            valley = column
    return cuts


def _confidence(part: Mask, *, cut: bool) -> float:
    """Higher for a shape with alike halves that is taller than wide; lower where it was cut."""
    alike = float((part & part[:, ::-1]).sum()) / max(1.0, float((part | part[:, ::-1]).sum()))
    tall = min(1.0, part.shape[0] / max(1, part.shape[1]))
    return float(np.clip(alike * (0.5 + 0.5 * tall) * (0.8 if cut else 1.0), 0, 1))
