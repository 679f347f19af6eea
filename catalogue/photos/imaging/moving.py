"""A small shift, turn and change of size between two pictures, found to a part of a pixel."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import Map

STEPS = 10


@dataclass(frozen=True, slots=True)
class Move:
    """How a picture lies against another.

    What stands at (x, y) of the other, counted in pixels from its middle, is found in this one at
    ((1 + a)·x − b·y + right_px, b·x + (1 + a)·y + down_px) from its middle.
    """

    right_px: float
    down_px: float
    a: float = 0.0
    b: float = 0.0

    @property
    def turned_deg(self) -> float:
        """By how much it is turned, clockwise on the screen."""
        return float(np.degrees(np.arctan2(self.b, 1 + self.a)))

    def matrix(self) -> NDArray[np.float64]:
        """The same as a 3×3 matrix for places (x, y, 1)."""
        a, b = 1 + self.a, self.b
        return np.array([[a, -b, self.right_px], [b, a, self.down_px], [0, 0, 1]])

    def scaled(self, factor: float) -> "Move":
        """The same between pictures so many times as large."""
        return Move(self.right_px * factor, self.down_px * factor, self.a, self.b)

    @staticmethod
    def of(matrix: NDArray[np.float64]) -> "Move":
        """Undoes `matrix`."""
        return Move(float(matrix[0, 2]), float(matrix[1, 2]), float(matrix[0, 0] - 1), float(matrix[1, 0]))


def moved(picture: Map, move: Move, *, fine: bool = False) -> Map:
    """The picture drawn so that it lies on the other; what would come from outside it is 0."""
    height, width = picture.shape
    # Pillow counts from the corner of the first pixel.
    corner = np.array([[1, 0, width / 2], [0, 1, height / 2], [0, 0, 1.0]])
    data = (corner @ move.matrix() @ np.linalg.inv(corner))[:2].reshape(-1)
    how = Image.Resampling.BICUBIC if fine else Image.Resampling.BILINEAR
    drawn = Image.fromarray(picture).transform((width, height), Image.Transform.AFFINE, data.tolist(), how)
    return np.asarray(drawn, dtype=np.float32)


def refined(still: Map, other: Map, move: Move) -> Move:
    """How `other` lies against `still` to a few hundredths of a pixel, from a shift that is right to a few.

    Inverse compositional method of Lucas and Kanade: Baker and Matthews 2004.
    """
    height, width = still.shape
    x = (np.arange(width, dtype=np.float32) + 0.5 - width / 2)[None, :]
    y = (np.arange(height, dtype=np.float32) + 0.5 - height / 2)[:, None]
    down, right = (np.asarray(slope, dtype=np.float32) for slope in np.gradient(still))
    margin = max(4, min(still.shape) // 40)
    inside = (slice(margin, -margin), slice(margin, -margin))
    ways = (right, down, right * x + down * y, down * x - right * y)
    slopes = np.stack([way[inside].reshape(-1) for way in ways])
    grip = (slopes @ slopes.T).astype(np.float64)
    if np.linalg.cond(grip) > 1e12:
        return move
    target = still[inside].reshape(-1)
    whole = move.matrix()
    for _ in range(STEPS):
        seen = moved(other, Move.of(whole))[inside].reshape(-1)
        gain = float(seen @ target) / max(float(seen @ seen), 1e-9)
        step = np.linalg.solve(grip, (slopes @ (gain * seen - target)).astype(np.float64)).tolist()
        whole = whole @ np.linalg.inv(Move(*step).matrix())
        if np.hypot(step[0], step[1]) < 0.01 and np.hypot(step[2], step[3]) * width < 0.02:
            break
    found = Move.of(whole)
    astray = np.hypot(found.right_px - move.right_px, found.down_px - move.down_px) > 0.08 * width
    # Where the fine step runs away there was too little to hold on to; the start is the safer answer.
    return move if astray or not np.hypot(found.a, found.b) < 0.2 else found
