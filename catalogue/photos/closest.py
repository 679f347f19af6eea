"""A picture as near as it was taken, for looking close: made when asked for, kept nowhere."""

import io
from math import ceil, log2, sqrt
from pathlib import Path

from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from .colour import to_srgb, without_odd_pixels
from .intake import FORMATS
from .sizes import LONGEST, turned

# Ours: a phone's usual 12 megapixels whole, and never more memory than taking it in needs.
MOST_PIXELS = 16_000_000
QUALITY = 88


def is_closer(width: int, height: int) -> bool:
    """Whether there is more to see in the original than in the largest copy."""
    return max(width, height) > LONGEST["large"]


def closest(path: Path) -> bytes:
    """The picture in `path` right way up, in sRGB, with nothing of the camera in it, as a plain JPEG.

    Raises what Pillow raises for a damaged file.
    """
    with Image.open(path, formats=FORMATS) as image:
        picture = to_srgb(turned(bounded(image)))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def bounded(image: Image.Image, mode: str | None = None) -> Image.Image:
    """The pixels of an opened picture, at most `MOST_PIXELS` of them, not turned yet.

    A JPEG is decoded at a half, a quarter or an eighth where that is enough, and as `mode` "L" in grey alone.
    """
    over = image.width * image.height / MOST_PIXELS
    if isinstance(image, JpegImageFile):
        part = 2 ** ceil(log2(over) / 2) if over > 1 else 1
        image.draft(mode or image.mode, (image.width // part, image.height // part))
    image.load()
    picture = without_odd_pixels(image)
    if picture.width * picture.height > MOST_PIXELS:
        share = sqrt(MOST_PIXELS / (picture.width * picture.height))
        picture.thumbnail((max(1, int(picture.width * share)), max(1, int(picture.height * share))))
    return picture
