"""Plates: pictures worked out from pictures of a find, in which worn lettering is easier to read.

The arrays are worked on in `catalogue.photos.imaging`; here originals are opened, the answers kept for
the next request, and a plate is filed as a picture with how it was made.
"""

from .layout import plate, relief_map
from .recipe import MovableLamp, PercentPoint, PlateLook, PlateShape, PlateShot, Recipe
from .saving import keep_plate
from .surfaces import Surfaces, surfaces_of

__all__ = [
    "MovableLamp",
    "PercentPoint",
    "PlateLook",
    "PlateShape",
    "PlateShot",
    "Recipe",
    "Surfaces",
    "keep_plate",
    "plate",
    "relief_map",
    "surfaces_of",
]
