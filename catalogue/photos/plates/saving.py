"""A plate filed as a picture of the find."""

import io

from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen

from .encoding import as_png
from .how_made import caption_of, how_made
from .keeping import surfaces_of
from .looks import Look, Shape
from .making import plate
from .recipe import Lamp, Recipe


def keep_plate(find: Specimen, recipe: Recipe, look: Look, shape: Shape, lamp: Lamp | None = None) -> Photo:
    """Make it once more and keep it, private, with how it was made; the originals stay untouched.

    The same plate of the same pictures is kept once. Raises ImagingError, or PictureRefused where the disk
    is full.
    """
    lamp = lamp or Lamp()
    file = io.BytesIO(as_png(plate(surfaces_of(recipe), recipe, look, shape, lamp)))
    file.name = f"{find.number} plate {look} {shape}.png"
    return take_in(
        file,
        subject=find,
        role=Photo.Role.PLATE,
        caption=caption_of(recipe, look, shape),
        source=how_made(recipe, look, shape, lamp),
    )
