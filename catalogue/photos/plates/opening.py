"""The part of an original that a plate is made of, as an array."""

import logging

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from catalogue.photos import files
from catalogue.photos.colour import to_srgb, without_odd_pixels
from catalogue.photos.decoding import AT_MOST_TWO
from catalogue.photos.imaging import ImagingError
from catalogue.photos.intake import FORMATS
from catalogue.photos.sizes import turned

from .recipe import Box, Shot

log = logging.getLogger("siltmark.pictures")

# Longest side of what is worked on: lettering is read at this size, and the slowest plate takes seconds.
LONGEST_PX = 1200
GONE = "The file of this picture can't be read; its original may be damaged."


def part_of(shot: Shot, box: Box, longest_px: int = LONGEST_PX) -> NDArray[np.uint8]:
    """The part `box` the right way up, in sRGB, made smaller to `longest_px`. Raises ImagingError."""
    left, top, right, bottom = box
    across = (right - left) * shot.width, (bottom - top) * shot.height
    scale = min(1.0, longest_px / max(across))
    size = max(1, round(across[0] * scale)), max(1, round(across[1] * scale))
    try:
        with AT_MOST_TWO, Image.open(files.original(shot.sha256, shot.format), formats=FORMATS) as image:
            if isinstance(image, JpegImageFile) and scale <= 0.5:
                # Decoded at half, a quarter or an eighth, which is never smaller than what is wanted.
                image.draft(image.mode, (round(image.width * scale), round(image.height * scale)))
            image.load()
            picture = turned(without_odd_pixels(image))
            wide, high = picture.size
            cut = (left * wide, top * high, right * wide, bottom * high)
            picture = picture.resize(size, Image.Resampling.BOX if scale < 1 else None, box=cut)
            return np.asarray(to_srgb(picture).convert("RGB"))
    except Exception as error:
        # A file damaged on disk: decoders raise anything.
        log.warning("no plate of %s: %s: %s", shot.sha256, type(error).__name__, error)
        raise ImagingError(GONE) from None
