"""A plate as a picture file (PNG, JPEG), and filed as a picture of the find."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen

from .layout import plate
from .recipe import MovableLamp, PlateLook, PlateShape, Recipe, caption_of, how_made
from .surfaces import surfaces_of


def keep_plate(
    find: Specimen, recipe: Recipe, look: PlateLook, shape: PlateShape, lamp: MovableLamp | None = None
) -> Photo:
    """Make it once more and keep it, private, with how it was made; the originals stay untouched.

    The same plate of the same pictures is kept once. Raises ImagingError, or PictureRefused where the disk
    is full.
    """
    lamp = lamp or MovableLamp()
    file = io.BytesIO(as_png(plate(surfaces_of(recipe), recipe, look, shape, lamp)))
    file.name = f"{find.number} plate {look} {shape}.png"
    return take_in(
        file,
        subject=find,
        role=Photo.Role.PLATE,
        caption=caption_of(recipe, look, shape),
        source=how_made(recipe, look, shape, lamp),
    )


def as_png(pixels: NDArray[np.uint8]) -> bytes:
    """Lossless, with nothing but the pixels in it."""
    out = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels)).save(out, "PNG", compress_level=4)
    return out.getvalue()


def as_jpeg(pixels: NDArray[np.uint8]) -> bytes:
    """Smaller, for looking at."""
    out = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels)).save(out, "JPEG", quality=90)
    return out.getvalue()
