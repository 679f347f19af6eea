"""The bottles of a shelf found in its picture, and cut out of it."""

import io
import logging
from collections.abc import Iterator, Sequence

import numpy as np
from PIL import Image

from catalogue.photos import files
from catalogue.photos.decoding import AT_MOST_TWO, averageable, to_srgb, turned_upright
from catalogue.photos.image_file import FORMATS
from catalogue.photos.imaging import ImagingError, find_bottles
from catalogue.photos.models import Photo
from catalogue.photos.renditions import ensure_size

from .boxes import Corners, with_margin, within

log = logging.getLogger("siltmark.pictures")
PROPOSED_IN = "large"
SURE_ENOUGH = 0.3
QUALITY = 92


class CannotCut(Exception):
    """The original can't be read; the message says what to do."""


def proposed(photo: Photo) -> list[Corners]:
    """Boxes that the picture suggests, in its own pixels; empty where none is made out."""
    if not ensure_size(photo.sha256, photo.format, PROPOSED_IN):
        return []
    with AT_MOST_TWO, Image.open(files.size(photo.sha256, PROPOSED_IN)) as image:
        pixels = np.asarray(image.convert("RGB"))
    try:
        found = find_bottles(pixels)
    except ImagingError as why:
        log.info("no bottles proposed in picture %s: %s", photo.pk, why)
        return []
    scale = photo.width / pixels.shape[1]
    corners = [(b.left, b.top, b.right, b.bottom) for b in found if b.confidence >= SURE_ENOUGH]
    scaled = [tuple(round(edge * scale) for edge in box) for box in corners]
    return [within(box, photo.width, photo.height) for box in scaled]


def cut(photo: Photo, boxes: Sequence[Corners]) -> Iterator[io.BytesIO]:
    """One JPEG for each box, cut from the original at its full size. Raises CannotCut."""
    try:
        with AT_MOST_TWO, Image.open(files.original(photo.sha256, photo.format), formats=FORMATS) as image:
            image.load()
            whole = to_srgb(turned_upright(averageable(image)))
    except Exception as error:
        # A file damaged on disk: decoders raise anything.
        log.warning("picture %s can't be cut: %s", photo.pk, error)
        raise CannotCut(
            "The picture of this shelf can't be read any more: take it again, or record one by one."
        ) from None
    for box in boxes:
        piece = io.BytesIO()
        whole.crop(with_margin(box, *whole.size)).save(piece, "JPEG", quality=QUALITY)
        piece.seek(0)
        yield piece
