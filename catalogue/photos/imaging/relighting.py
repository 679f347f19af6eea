"""A surface lit anew by a lamp that never stood there."""

import numpy as np

from .arrays import Map, shown
from .errors import ImagingError
from .lamps import lamp_directions


def relight(
    normals: Map, clock: float, elevation_deg: float, *, albedo: Map | None = None, exaggerate: float = 1.0
) -> Map:
    """The surface as a picture (grey values 0 to 1) under a lamp at that hour and height.

    `normals` are (3, height, width) as `raking_relief` gives them, `albedo` (height, width) adds what is
    light or dark by itself, `exaggerate` multiplies every slope. A dull surface: albedo × normal · lamp.
    """
    if normals.ndim != 3 or normals.shape[0] != 3:
        raise ImagingError("Normals are an array of 3 by height by width.")
    if not 0 < exaggerate <= 50:
        raise ImagingError("Slopes can be made up to 50 times as steep, and at least above 0 times.")
    if albedo is not None and albedo.shape != normals.shape[1:]:
        raise ImagingError("The albedo has another size than the normals.")
    lamp = lamp_directions([clock], elevation_deg)[0].astype(np.float32)
    steep = np.float32(exaggerate)
    facing = steep * (normals[0] * lamp[0] + normals[1] * lamp[1]) + normals[2] * lamp[2]
    if exaggerate != 1:
        facing = facing / np.sqrt(steep**2 * (normals[0] ** 2 + normals[1] ** 2) + normals[2] ** 2)
    if albedo is not None:
        facing = facing * albedo
    return shown(np.clip(facing, 0, 1))
