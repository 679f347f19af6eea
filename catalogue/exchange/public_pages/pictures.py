"""Pictures to carry away: small enough for a page, with nothing of the camera in them."""

import io
from dataclasses import dataclass

from PIL import Image

from catalogue.photos import files
from catalogue.photos.decoding import as_jpeg, in_turn, shrink
from catalogue.photos.models import Photo
from catalogue.photos.renditions import ensure_size

# Longest side in pixels and most bytes (our own choice): sixteen cards, or one piece with eight more
# pictures, stay under 200 kB with all that their page asks for.
SMALL_SHOT_PX, SMALL_SHOT_BYTES = 240, 4_500
LARGE_SHOT_PX, LARGE_SHOT_BYTES = 900, 88_000
FITTING_QUALITIES = (80, 72, 64, 56, 48, 40)


@dataclass(frozen=True, slots=True)
class FittedPicture:
    """A JPEG with its size in pixels."""

    jpeg: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class CarriedPicture:
    """Both sizes of one picture."""

    small: FittedPicture
    large: FittedPicture


def carried_picture(photo: Photo) -> CarriedPicture | None:
    """Both sizes, made from the copies that the catalogue shows; None where its file can't be read."""
    if not all(ensure_size(photo.sha256, photo.format, name) for name in ("small", "medium")):
        return None
    try:
        small, medium = (files.size(photo.sha256, name).read_bytes() for name in ("small", "medium"))
        return in_turn(_both, small, medium)
    except (OSError, ValueError, SyntaxError):
        # A copy damaged on disk; Pillow raises SyntaxError for some.
        return None


def _both(small: bytes, medium: bytes) -> CarriedPicture:
    return CarriedPicture(
        fitted(small, SMALL_SHOT_PX, SMALL_SHOT_BYTES),
        fitted(medium, LARGE_SHOT_PX, LARGE_SHOT_BYTES),
    )


def fitted(jpeg: bytes, longest: int, most_bytes: int) -> FittedPicture:
    """The picture within so many pixels and bytes: coarser first, then smaller. Raises what Pillow raises."""
    with Image.open(io.BytesIO(jpeg), formats=("JPEG",)) as image:
        if max(image.size) <= longest and len(jpeg) <= most_bytes and not image.info.get("exif"):
            # Pixels are read, so that a damaged copy is not carried.
            image.load()
            return FittedPicture(jpeg, *image.size)
        image.load()
        picture = image.convert("RGB")
    picture.info = {}
    while True:
        shrink(picture, longest)
        for quality in FITTING_QUALITIES:
            made = as_jpeg(picture, quality)
            if len(made) <= most_bytes or max(picture.size) < 32:
                return FittedPicture(made, *picture.size)
        longest = max(picture.size) * 3 // 4
