"""Pictures of one still piece laid exactly on each other although the light in them differs."""

from collections.abc import Sequence

import numpy as np

from .arrays import Map, resized
from .blurring import blur, unshaded
from .errors import ImagingError
from .moving import Move, moved, refined
from .shifting import shift_between

COARSE_PX = 256
FINE_PX = 560


def register(pictures: Sequence[Map]) -> list[Move]:
    """How each map of light (all of one shape) lies against the first; the first is left where it is.

    The shift by phase correlation, then shift, turn and size by the inverse compositional method of Lucas and
    Kanade (Baker and Matthews 2004), both on the strength of edges, which depends little on the lamp's side;
    then each once more against all the others together, where the lamp's side evens out. Raises ImagingError
    where a picture shows something else or was moved by more than a third of its width.
    """
    edges = [edge_strength(picture, FINE_PX) for picture in pictures]
    moves = [Move(0.0, 0.0)]
    coarse = [_at_most(values, COARSE_PX) for values in edges]
    back = edges[0].shape[1] / coarse[0].shape[1]
    for number, (values, small) in enumerate(zip(edges[1:], coarse[1:], strict=True), start=2):
        right, down = shift_between(coarse[0], small)
        if max(abs(right) / small.shape[1], abs(down) / small.shape[0]) > 1 / 3:
            raise ImagingError(
                f"Picture {number} can't be laid on the first; was the piece or the phone moved?"
            )
        moves.append(refined(edges[0], values, Move(right * back, down * back)))
    laid = [moved(values, move) for values, move in zip(edges, moves, strict=True)]
    together = np.sum(laid, axis=0)
    again = [
        refined((together - own) / np.float32(len(edges) - 1), values, move)
        for own, values, move in zip(laid, edges, moves, strict=True)
    ]
    scale = max(pictures[0].shape) / max(edges[0].shape)
    first = np.linalg.inv(again[0].matrix())
    return [Move.of(move.matrix() @ first).scaled(scale) for move in again]


def edge_strength(picture: Map, longest: int) -> Map:
    """How steep the light is at each pixel against how steep nearby; the picture shrunk to `longest`."""
    values = np.log(unshaded(_at_most(np.maximum(picture, 0), longest), 0.06 * longest))
    down, right = np.gradient(blur(values, 1.0))
    steep = blur(np.hypot(down, right), 1.0)
    usual = float(steep.mean())
    if not usual > 1e-6:
        raise ImagingError("A picture shows nothing that it could be laid on the others by.")
    return np.asarray(steep / (blur(steep, longest / 80) + np.float32(0.3 * usual)), dtype=np.float32)


def _at_most(values: Map, longest: int) -> Map:
    height, width = values.shape
    share = longest / max(height, width)
    if share >= 1:
        return values
    return resized(values, max(8, round(width * share)), max(8, round(height * share)))
