"""A plate as the bytes of a picture file."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image


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
