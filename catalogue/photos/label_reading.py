"""Every code in a picture of many labels, also small, aslant or blurred ones. Pixels in, words out.

A picture of a shelf holds many labels, each of few pixels, and those at its ends are seen at an angle: it is
looked at whole, in parts, in parts drawn larger and pulled wide or tall, and all that was read is joined.
No look is left out once others read much: what one reads says nothing of what else hangs there.
"""

from collections.abc import Iterator
from pathlib import Path

import zxingcpp
from PIL import Image, ImageFilter, ImageOps

from .decoding import bounded
from .image_file import FORMATS
from .qr_codes import ONE_AT_A_TIME, QR_CODES

# A part is this wide and high in the picture; a label that lies on its edge is whole in the next one.
TILE_PX, TILE_OVERLAP_PX = 1100, 300
SHRUNK_PX = 1400
# How wide and tall a part is drawn: what is seen at an angle is narrow in one direction alone.
STRETCHES = ((2.0, 2.0), (3.0, 1.5), (1.5, 3.0))
SOFT_EDGES, SHARP_EDGES = ImageFilter.UnsharpMask(2, 150, 0), ImageFilter.UnsharpMask(2, 250, 0)


def read_labels(path: Path) -> tuple[str, ...]:
    """What each code in a picture file says. Raises OSError, and what Pillow raises for damage."""
    with ONE_AT_A_TIME, Image.open(path, formats=FORMATS) as image:
        return read_codes(bounded(image, "L").convert("L"))


def read_codes(grey: Image.Image) -> tuple[str, ...]:
    """The same for a grey picture.

    What could not be read is not counted: the reader takes specks and parts of codes for some as well.
    """
    looks = (_codes(grey), _shrunk(grey), _parts(grey), _larger(grey))
    return tuple(dict.fromkeys(text for look in looks for text in look))


def _shrunk(grey: Image.Image) -> Iterator[str]:
    """Blur that hides a large code is gone in a small copy."""
    small = grey.copy()
    small.thumbnail((SHRUNK_PX, SHRUNK_PX))
    yield from _codes(ImageOps.autocontrast(small.filter(SOFT_EDGES)))


def _parts(grey: Image.Image) -> Iterator[str]:
    """Each part by its own light: a lamp at one end of the shelf does not hide the other."""
    for part in _tiles(grey):
        yield from _codes(ImageOps.autocontrast(part, cutoff=1))


def _larger(grey: Image.Image) -> Iterator[str]:
    """Each part drawn larger, which takes most of the time and finds what is far away or seen aslant.

    Edges are sharpened once, before: sharpening what is larger already took three quarters of the time, and
    read one label less of 84. Our labels are dark on light, as `_parts` need not be.
    """
    for part in _tiles(grey.filter(SHARP_EDGES)):
        for wide, tall in STRETCHES:
            size = (round(part.width * wide), round(part.height * tall))
            yield from _codes(part.resize(size, Image.Resampling.BILINEAR), try_invert=False)


def _tiles(grey: Image.Image) -> Iterator[Image.Image]:
    """Parts of a picture that overlap."""
    step = TILE_PX - TILE_OVERLAP_PX
    for top in range(0, max(1, grey.height - TILE_OVERLAP_PX), step):
        for left in range(0, max(1, grey.width - TILE_OVERLAP_PX), step):
            yield grey.crop((left, top, min(grey.width, left + TILE_PX), min(grey.height, top + TILE_PX)))


def _codes(grey: Image.Image, *, try_invert: bool = True) -> list[str]:
    read = zxingcpp.read_barcodes(grey, formats=QR_CODES, try_invert=try_invert)
    return [text for code in read if (text := code.text.strip())]
