"""Plates that make worn lettering readable, and sizes and outlines from pictures.

Numbers and arrays in, numbers and arrays out; numpy and Pillow only. What can't be worked out raises
`ImagingError` with one sentence. See `arrays` for what a picture is and how places in it are counted.
"""

from .arrays import as_plate
from .contrast import local_contrast
from .errors import ImagingError
from .focusing import focus
from .measuring import Measured, distance_px, measure
from .moving import Move
from .relief import Relief, raking_relief
from .relighting import relight
from .rims import Rim, fit_rim
from .unrolling import Unrolled, unroll

__all__ = [
    "ImagingError",
    "Measured",
    "Move",
    "Relief",
    "Rim",
    "Unrolled",
    "as_plate",
    "distance_px",
    "fit_rim",
    "focus",
    "local_contrast",
    "measure",
    "raking_relief",
    "relight",
    "unroll",
]
