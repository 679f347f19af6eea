"""Where a place of a base lies on its strip and in its picture: the ways back, for measuring the results."""

from math import atan2, degrees, hypot

import numpy as np

from catalogue.photos.imaging import Rim, Unrolled


def column_of(strip: Unrolled, turn_deg: float) -> float:
    """The column, in the first turn, of a place so many degrees clockwise from the top."""
    way = turn_deg - strip.start_deg if strip.outward else strip.start_deg - turn_deg
    return (way / 360.0) % 1.0 * strip.turn_px - 0.5


def row_of(strip: Unrolled, share: float) -> float:
    """The row of a share of the radius."""
    down = (strip.outer - share) if strip.outward else (share - strip.inner)
    return float(down / (strip.outer - strip.inner) * strip.picture.shape[0] - 0.5)


def turn_of(rim: Rim, point: tuple[float, float]) -> tuple[float, float]:
    """Turn in degrees (0 to 360) and share of the radius of a place in the picture; undoes `Rim.at`."""
    x, y, w = np.linalg.solve(rim.plane, np.array([point[0], point[1], 1.0]))
    return degrees(atan2(x / w, -y / w)) % 360.0, hypot(x / w, y / w)
