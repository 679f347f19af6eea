"""Pictures of one still piece laid exactly on each other although the light in them differs."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .arrays import Map, resized
from .blurring import blur, unshaded
from .errors import ImagingError
from .shifting import shift_between

COARSE_PX = 256
FINE_PX = 560
STEPS = 12


@dataclass(frozen=True, slots=True)
class Move:
    """How a picture lies against the first: a place (x, y) of the first is found in it at
    (x + a·x' − b·y' + right_px, y + b·x' + a·y' + down_px), with x', y' counted from the middle."""

    right_px: float
    down_px: float
    a: float = 0.0
    b: float = 0.0

    @property
    def turned_deg(self) -> float:
        """By how much it is turned, clockwise on the screen."""
        return float(np.degrees(np.arctan2(self.b, 1 + self.a)))


def register(pictures: Sequence[Map]) -> list[Move]:
    """How each map of light (all of one shape) lies against the first; the first is left where it is.

    The shift by phase correlation, then shift, turn and size by the inverse compositional method of Lucas and
    Kanade (Baker and Matthews 2004), both on the strength of edges, which depends little on the lamp's side.
    Raises ImagingError where a picture shows something else or was moved by more than a third of its width.
    """
    edges = [edge_strength(picture, FINE_PX) for picture in pictures]
    scale = max(1.0, max(pictures[0].shape) / FINE_PX)
    small = [_at_most(values, COARSE_PX) for values in edges]
    back = edges[0].shape[1] / small[0].shape[1]
    moves = [Move(0.0, 0.0)]
    for number, (values, coarse) in enumerate(zip(edges[1:], small[1:], strict=True), start=2):
        right, down = shift_between(small[0], coarse)
        if max(abs(right) / coarse.shape[1], abs(down) / coarse.shape[0]) > 1 / 3:
            raise ImagingError(
                f"Picture {number} can't be laid on the first; was the piece or the phone moved?"
            )
        found = _refined(edges[0], values, Move(right * back, down * back))
        moves.append(Move(found.right_px * scale, found.down_px * scale, found.a, found.b))
    return moves


def edge_strength(picture: Map, longest: int) -> Map:
    """How steep the light is at each pixel, of the picture shrunk to `longest`; even outside edges."""
    values = np.log(unshaded(_at_most(picture, longest), 0.06 * longest))
    down, right = np.gradient(blur(values, 1.0))
    steep = blur(np.hypot(down, right), 1.0)
    high = float(np.quantile(steep, 0.97))
    if high <= 1e-6:
        raise ImagingError("A picture shows nothing that it could be laid on the others by.")
    return np.asarray(np.minimum(steep / np.float32(high), 1.5), dtype=np.float32)


def moved(picture: Map, move: Move) -> Map:
    """The picture drawn so that it lies on the first; what was outside repeats as black."""
    height, width = picture.shape
    middle_x, middle_y = width / 2, height / 2
    a, b = 1 + move.a, move.b
    data = (
        a,
        -b,
        middle_x - a * middle_x + b * middle_y + move.right_px,
        b,
        a,
        middle_y - b * middle_x - a * middle_y + move.down_px,
    )
    drawn = Image.fromarray(picture).transform(
        (width, height), Image.Transform.AFFINE, data, Image.Resampling.BICUBIC
    )
    return np.asarray(drawn, dtype=np.float32)


def _at_most(values: Map, longest: int) -> Map:
    height, width = values.shape
    share = longest / max(height, width)
    return (
        values if share >= 1 else resized(values, max(8, round(width * share)), max(8, round(height * share)))
    )


def _refined(still: Map, other: Map, move: Move) -> Move:
    """Shift, turn and size to a few hundredths of a pixel, starting from a shift that is right to a few."""
    height, width = still.shape
    x = (np.arange(width, dtype=np.float32) + 0.5 - width / 2)[None, :]
    y = (np.arange(height, dtype=np.float32) + 0.5 - height / 2)[:, None]
    down, right = np.gradient(still)
    slopes = np.stack([right, down, right * x + down * y, down * x - right * y])
    margin = max(4, min(still.shape) // 40)
    inside = (slice(margin, -margin), slice(margin, -margin))
    slopes = np.ascontiguousarray(slopes[:, inside[0], inside[1]]).reshape(4, -1)
    grip = (slopes @ slopes.T).astype(np.float64)
    target = still[inside].reshape(-1)
    whole = _matrix(move)
    for _ in range(STEPS):
        seen = moved(other, _move(whole))[inside].reshape(-1)
        gain = float(seen @ target) / max(float(seen @ seen), 1e-9)
        step = np.linalg.solve(grip, (slopes @ (gain * seen - target)).astype(np.float64))
        whole = whole @ np.linalg.inv(_matrix(Move(*step.tolist())))
        if np.hypot(step[0], step[1]) < 0.004 and np.hypot(step[2], step[3]) * width < 0.008:
            break
    found = _move(whole)
    astray = np.hypot(found.right_px - move.right_px, found.down_px - move.down_px) > 0.08 * width
    # Where the fine step runs away there was too little to hold on to; the shift alone is the safer answer.
    return move if astray or np.hypot(found.a, found.b) > 0.2 else found


def _matrix(move: Move) -> NDArray[np.float64]:
    a, b = 1 + move.a, move.b
    return np.array([[a, -b, move.right_px], [b, a, move.down_px], [0, 0, 1]])


def _move(whole: NDArray[np.float64]) -> Move:
    return Move(float(whole[0, 2]), float(whole[1, 2]), float(whole[0, 0] - 1), float(whole[1, 0]))
