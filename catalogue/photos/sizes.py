"""Smaller copies of a picture for showing: three widths, progressive JPEG, nothing of the camera in them."""

import io
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageOps
from PIL.JpegImagePlugin import JpegImageFile

from .colour import to_srgb, without_odd_pixels
from .intake import FORMATS

# Longest side in pixels: a card, half a page on a phone, a whole screen.
LONGEST = {"small": 360, "medium": 900, "large": 1800}
QUALITY = {"small": 78, "medium": 80, "large": 82}


@dataclass(frozen=True, slots=True)
class Size:
    """One smaller copy."""

    name: str
    width: int
    height: int
    jpeg: bytes


def derive(path: Path) -> Iterator[Size]:
    """The sizes of the picture in `path`, largest first. Raises what Pillow raises for a damaged file."""
    picture = largest(path)
    for name in sorted(LONGEST, key=LONGEST.get, reverse=True):
        smaller(picture, LONGEST[name])
        yield Size(name, picture.width, picture.height, as_jpeg(picture, QUALITY[name]))


def largest(path: Path) -> Image.Image:
    """The picture in `path` as the largest size shows it; nothing else of it is left in memory."""
    with Image.open(path, formats=FORMATS) as image:
        if isinstance(image, JpegImageFile):
            # Asked before anything else touches the pixels: decoded small at once.
            image.draft(image.mode, shown_size(*image.size, "large"))
        image.load()
        picture = without_odd_pixels(image)
        smaller(picture, LONGEST["large"])
        # Shrinking first and turning then is four times faster than the other way round.
        return to_srgb(turned(picture))


def smaller(picture: Image.Image, longest: int) -> None:
    """Shrink in place to that longest side in pixels; never blow up.

    Halved by averaging as often as that goes, then cubic: as sharp to the eye as the dearest filter over the
    whole way, for half the time.
    """
    # Pillow's quick first step in whole numbers does not know 16-bit grey.
    gap = None if picture.mode.startswith("I;16") else 1.0
    picture.thumbnail((longest, longest), Image.Resampling.BICUBIC, reducing_gap=gap)


def turned(picture: Image.Image) -> Image.Image:
    """The same picture, the right way up by its orientation tag; unreadable tags are passed over."""
    # As in `exif`: a broken block raises anything, and only means that the tag is not known.
    with suppress(Exception):
        # In place: a picture that lies the right way up is not copied.
        ImageOps.exif_transpose(picture, in_place=True)
    return picture


def as_jpeg(picture: Image.Image, quality: int) -> bytes:
    """Progressive JPEG bytes; `picture.info` must be empty, or its comment would be written too."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, progressive=True, optimize=True)
    return out.getvalue()


def shown_size(width: int, height: int, name: str) -> tuple[int, int]:
    """Width and height in pixels of the copy `name` of a picture of that size, within a pixel."""
    longest = max(width, height)
    if longest <= LONGEST[name]:
        return width, height
    scale = LONGEST[name] / longest
    return max(1, round(width * scale)), max(1, round(height * scale))
