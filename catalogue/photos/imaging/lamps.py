"""Where a lamp stood: the hour on a clock face laid around the piece, and its height above the table."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .errors import ImagingError


def lamp_directions(clock: Sequence[float], elevation_deg: float | Sequence[float]) -> NDArray[np.float64]:
    """Unit vectors (n, 3) from the piece to each lamp: right, up the picture, towards the camera.

    `clock` in hours, 0 to 12 (12 above, 3 to the right; 1.5 is half past one). `elevation_deg` one for all or
    one each, above 0 to 90.
    """
    hours = np.asarray(clock, dtype=np.float64)
    rise = np.asarray(elevation_deg, dtype=np.float64)
    if (
        hours.ndim != 1
        or len(hours) < 1
        or not np.isfinite(hours).all()
        or hours.min() < 0
        or hours.max() > 12
    ):
        raise ImagingError("The lamp's place is an hour of the clock, 0 to 12.")
    if rise.ndim > 1 or (rise.ndim == 1 and len(rise) != len(hours)):
        raise ImagingError("Give one height of the lamp for all pictures, or one for each.")
    if not np.isfinite(rise).all() or rise.min() <= 0 or rise.max() > 90:
        raise ImagingError("The lamp's height is an angle above 0 up to 90 degrees.")
    turn = hours * (np.pi / 6)
    rise = np.broadcast_to(np.radians(rise), hours.shape)
    return np.column_stack([np.sin(turn) * np.cos(rise), np.cos(turn) * np.cos(rise), np.sin(rise)])
