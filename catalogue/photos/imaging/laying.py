"""One picture laid on another by marks tapped in both: the transform by least squares, the picture drawn."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import ImagingError, Picture, Point

FEWEST_MARKS = 3
# Marks that spread less than this share across their line lie on one line (our own value).
ON_A_LINE = 0.06
# What the laid picture has where the other one shows nothing.
FILL_COLOUR = (200, 208, 202)


@dataclass(frozen=True, slots=True, eq=False)
class Laying:
    """`matrix` (3×3) carries a place (x, y, 1) of the first picture to the second.

    `residual_px`: how far the marks then lie from their fellows, root mean square in pixels of the second.
    """

    matrix: NDArray[np.float64]
    residual_px: float


def lay_by_marks(first: Sequence[Point], second: Sequence[Point]) -> Laying:
    """How `first` lies on `second`, by the same marks (x, y) in pixels in both, in the same order.

    By linear least squares: three marks give a similarity (turn, size, shift), so that one is left over to
    tell how well they agree; more an affine map (Hartley and Zisserman, Multiple View
    Geometry, 2nd ed., 2.4).
    Raises ImagingError for fewer marks, and for marks on one line.
    """
    one, other = (np.asarray(points, dtype=np.float64).reshape(-1, 2) for points in (first, second))
    if len(one) != len(other) or len(one) < FEWEST_MARKS:
        raise ImagingError("Tap at least three marks, each in both pictures.")
    for points in (one, other):
        spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
        if not spread[1] > ON_A_LINE * spread[0]:
            raise ImagingError("These marks lie on one line: put one of them well beside it.")
    ones, none = np.ones(len(one)), np.zeros(len(one))
    x, y = one.T
    if len(one) == FEWEST_MARKS:
        terms = np.vstack([np.column_stack([x, -y, ones, none]), np.column_stack([y, x, none, ones])])
        a, b, right, down = np.linalg.lstsq(terms, other.T.reshape(-1), rcond=None)[0]
        matrix = np.array([[a, -b, right], [b, a, down], [0, 0, 1]])
    else:
        factors = np.linalg.lstsq(np.column_stack([x, y, ones]), other, rcond=None)[0]
        matrix = np.vstack([factors.T, [0, 0, 1]])
    if abs(np.linalg.det(matrix[:2, :2])) < 1e-6:
        raise ImagingError("These marks can't be the same in both pictures: check their order.")
    off = (matrix @ np.vstack([one.T, ones]))[:2].T - other
    return Laying(matrix, float(np.sqrt((off**2).sum(axis=1).mean())))


def laid_over(first: Picture, laying: Laying, width: int, height: int) -> NDArray[np.uint8]:
    """The first picture (height, width, 3 of uint8) drawn in the frame of the second, `width` × `height`."""
    # Pillow asks where each pixel comes from, and counts from the corner of the first one.
    corner = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    back = corner @ np.linalg.inv(laying.matrix) @ np.linalg.inv(corner)
    how = Image.Transform.AFFINE, back[:2].reshape(-1).tolist(), Image.Resampling.BICUBIC
    return np.asarray(Image.fromarray(first).transform((width, height), *how, fillcolor=FILL_COLOUR))
