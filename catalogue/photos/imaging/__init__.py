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
from .outlines import Outline, bottle_outline
from .raising import raised
from .relief import Relief, raking_relief
from .relighting import relight
from .rims import Rim, fit_rim
from .shelves import BottleBox, find_bottles
from .unrolling import Unrolled, unroll

__all__ = [
    "BottleBox",
    "ImagingError",
    "Measured",
    "Move",
    "Outline",
    "Relief",
    "Rim",
    "Unrolled",
    "as_plate",
    "bottle_outline",
    "distance_px",
    "find_bottles",
    "fit_rim",
    "focus",
    "local_contrast",
    "measure",
    "raised",
    "raking_relief",
    "relight",
    "unroll",
]
