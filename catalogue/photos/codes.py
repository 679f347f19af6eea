"""Reading the code of a field tag, or of a shelf label, in a picture. Pixels in, words out."""

import re
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import zxingcpp
from PIL import Image, ImageFilter, ImageOps

from .closest import bounded
from .intake import FORMATS
from .sizes import LONGEST

# A tag is letters and a number (T-65); a shelf label's code is an address that ends in the find's number.
TAG = re.compile(r"[A-Z]{1,3}-?\d{1,6}", re.IGNORECASE)
LABEL = re.compile(r"https?://\S+/f/(\d{4}\.\d{1,6}\.\d{1,6}[a-z]?)/?", re.IGNORECASE)
# Blur that hides a code at full size is gone at half of it: the second look.
SECOND_LOOK_PX = 800
# Radius in pixels and per cent of what is added back: tried on tags drawn into pictures of 12 megapixels.
SHARPER, SHARPEST = ImageFilter.UnsharpMask(3, 180), ImageFilter.UnsharpMask(3, 300, 0)


@dataclass(frozen=True, slots=True)
class CodesSeen:
    """The tags and numbers read, each once; `unread` where a code is there that could not be read."""

    codes: tuple[str, ...] = ()
    unread: bool = False


def codes_in(picture: Image.Image, *, original: Path | None = None) -> CodesSeen:
    """What the codes in a picture say. Codes of other things (a parcel, a poster) count as none.

    Where the picture is a smaller copy of `original`, that one is looked at too when the copy shows none: a
    tag that takes up little of the picture is too coarse in the copy. Raises OSError.
    """
    grey = picture.convert("L")
    unread = False
    for look in (_plain, _half, partial(_whole, original=original), _sharp):
        seen = look(grey)
        if seen.codes:
            return seen
        unread = unread or seen.unread
    return CodesSeen(unread=unread)


def codes_of_file(path: Path, original: Path | None = None) -> CodesSeen:
    """The same for a picture in a file. Raises OSError."""
    with Image.open(path) as picture:
        larger = original if original is not None and max(picture.size) >= LONGEST["large"] else None
        return codes_in(picture, original=larger)


def _plain(grey: Image.Image) -> CodesSeen:
    return _look(grey)


def _half(grey: Image.Image) -> CodesSeen:
    smaller = grey.copy()
    smaller.thumbnail((SECOND_LOOK_PX, SECOND_LOOK_PX))
    return _look(ImageOps.autocontrast(smaller.filter(SHARPER)))


def _whole(grey: Image.Image, *, original: Path | None) -> CodesSeen:
    """At full size, as it is: the smaller sizes were looked at already, and tags are dark on light."""
    if original is None:
        return CodesSeen()
    with Image.open(original, formats=FORMATS) as image:
        whole = bounded(image, "L").convert("L")
    return _look(whole, try_downscale=False, try_invert=False)


def _sharp(grey: Image.Image) -> CodesSeen:
    return _look(grey.filter(SHARPEST), try_downscale=False, try_invert=False)


def _look(grey: Image.Image, **how: bool) -> CodesSeen:
    found = zxingcpp.read_barcodes(grey, formats=zxingcpp.BarcodeFormat.QRCode, return_errors=True, **how)
    codes = [code for barcode in found if barcode.valid and (code := meant(barcode.text))]
    return CodesSeen(tuple(dict.fromkeys(codes)), any(not barcode.valid for barcode in found))


def meant(text: str) -> str:
    """The tag or the find's number that a code stands for; "" for any other code."""
    text = text.strip()
    if TAG.fullmatch(text):
        return text.upper()
    label = LABEL.fullmatch(text)
    return label[1].lower() if label else ""
