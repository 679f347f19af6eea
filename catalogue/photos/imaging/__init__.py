"""Plates that make worn lettering readable, and sizes and outlines from pictures.

Numbers and arrays in, numbers and arrays out; numpy and Pillow only. What can't be worked out raises
`ImagingError` with one sentence. See `arrays` for what a picture is and how places in it are counted.
"""

from .arrays import ImagingError, as_plate
from .clahe import local_contrast
from .contour import Outline, bottle_outline
from .measurement import DEPTH_ERROR_MM, Measured, distance_px, measure
from .photometric_stereo import relight
from .polar_unwrap import Unrolled, unroll
from .registration import Similarity
from .relief import Relief, raised, raking_relief
from .rim_homography import Rim, fit_rim
from .segmentation import BottleBox, find_bottles
from .sharpness import focus

__all__ = [
    "DEPTH_ERROR_MM",
    "BottleBox",
    "ImagingError",
    "Measured",
    "Similarity",
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
