"""A picture before laid on the one after, as a rendition made from the stored marks when it is asked for."""

import numpy as np
from PIL import Image

from catalogue.photos import files
from catalogue.photos.imaging.laying import Laying, laid_over, lay_by_marks
from catalogue.photos.models import LaidPair

from .recipe import pixel
from .saving import as_jpeg

LAID_SIZE = "medium"


def laying_of(pair: LaidPair, before: tuple[int, int], after: tuple[int, int]) -> Laying:
    """How the pictures lie at those sizes (width, height). Raises ImagingError."""
    return lay_by_marks(
        [pixel((left, top), *before) for left, top, _, _ in pair.marks],
        [pixel((left, top), *after) for _, _, left, top in pair.marks],
    )


def residual_px(pair: LaidPair) -> float:
    """How far the marks lie apart, in pixels of the picture after as it was taken. Raises ImagingError."""
    before, after = pair.before, pair.after
    return laying_of(pair, (before.width, before.height), (after.width, after.height)).residual_px


def laid_jpeg(pair: LaidPair) -> bytes:
    """The picture before in the frame of the one after. Raises ImagingError; OSError for a lost file."""
    with Image.open(files.size(pair.after.sha256, LAID_SIZE)) as image:
        wide, high = image.size
    with Image.open(files.size(pair.before.sha256, LAID_SIZE)) as image:
        pixels = np.asarray(image.convert("RGB"))
    laying = laying_of(pair, (pixels.shape[1], pixels.shape[0]), (wide, high))
    return as_jpeg(laid_over(pixels, laying, wide, high))
