"""Plates: pictures worked out from pictures of a find, in which worn lettering is easier to read.

The arrays are worked on in `catalogue.photos.imaging`; here originals are opened, the answers kept for
the next request, and a plate is filed as a picture with how it was made.
"""

from .keeping import surfaces_of
from .looks import Look, Shape
from .making import Surfaces, plate, relief_map
from .recipe import Lamp, Place, Recipe, Shot
from .saving import keep_plate

__all__ = [
    "Lamp",
    "Look",
    "Place",
    "Recipe",
    "Shape",
    "Shot",
    "Surfaces",
    "keep_plate",
    "plate",
    "relief_map",
    "surfaces_of",
]
