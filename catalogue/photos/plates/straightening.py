"""A round base seen slanting, drawn as seen straight on and turned."""

from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from catalogue.photos.imaging import Rim

# How far beyond the rim the round plate reaches, as a share of the radius.
AROUND = 0.06


def straightened(layer: NDArray, rim: Rim, turn_deg: float = 0.0) -> NDArray:
    """`layer` (a picture or a map) as a square whose middle is the base's, what lies at `turn_deg` on top.

    `rim.plane` carries the flat base into the picture; each place of the square is looked up through it.
    """
    side = max(8, round(2 * rim.radius_px * (1 + AROUND)))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])
    step = 2 * (1 + AROUND) / side
    square = np.array([[step, 0, -1 - AROUND], [0, step, -1 - AROUND], [0, 0, 1.0]])
    # Pillow counts from the corner of the first pixel, the rim from its middle.
    corner = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    way = corner @ rim.plane @ turn @ square
    numbers = (way / way[2, 2]).ravel()[:8].tolist()
    drawn = Image.fromarray(np.ascontiguousarray(layer)).transform(
        (side, side), Image.Transform.PERSPECTIVE, numbers, Image.Resampling.BICUBIC
    )
    return np.asarray(drawn)


def turned_normals(normals: NDArray[np.float32], turn_deg: float) -> NDArray[np.float32]:
    """Normals (3: right, up, towards) in a picture turned so that what lay at `turn_deg` is on top."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    right, up, towards = normals
    return np.stack([right * c - up * s, up * c + right * s, towards]).astype(np.float32)
