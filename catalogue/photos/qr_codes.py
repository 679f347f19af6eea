"""QR codes of field tags and shelf labels, read in a picture. Pixels in, words out."""

import re
from dataclasses import dataclass
from functools import partial
from math import ceil
from pathlib import Path
from threading import Lock

import zxingcpp
from PIL import Image, ImageFilter, ImageOps

from .decoding import bounded
from .files import SIZES_PX
from .image_file import FORMATS

# A tag is letters and a number (T-65); a shelf label's code is an address that ends in the find's number, or
# that number alone.
TAG = re.compile(r"[A-Z]{1,3}-?\d{1,6}", re.IGNORECASE)
LABEL = re.compile(r"(?:https?://\S+/f/)?(\d{4}\.\d{1,6}\.\d{1,6}[a-z]?)/?", re.IGNORECASE)
# Blur that hides a code at full size is gone at half of it: the second look.
SECOND_LOOK_PX = 800
QR_CODES = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
PART_PX, OVERLAP_PX = 1800, 400
# Two looked through at once, while others are made smaller, would fill a modest laptop's memory.
ONE_AT_A_TIME = Lock()
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
    with ONE_AT_A_TIME, Image.open(path) as picture:
        larger = original if original is not None and max(picture.size) >= SIZES_PX["large"] else None
        # Decoded in grey alone: a third of the memory.
        picture.draft("L", picture.size)
        return codes_in(picture, original=larger)


def _plain(grey: Image.Image) -> CodesSeen:
    return _look(grey)


def _half(grey: Image.Image) -> CodesSeen:
    smaller = grey.copy()
    smaller.thumbnail((SECOND_LOOK_PX, SECOND_LOOK_PX))
    return _look(ImageOps.autocontrast(smaller.filter(SHARPER)))


def _whole(grey: Image.Image, *, original: Path | None) -> CodesSeen:
    """At full size, as it is: the smaller sizes were looked at already, and tags are dark on light.

    In parts, which costs a third of the memory; what is larger than their overlap is read in the copy.
    """
    if original is None:
        return CodesSeen()
    with Image.open(original, formats=FORMATS) as image:
        whole = bounded(image, "L").convert("L")
    seen = [
        _look(whole.crop((left, top, right, bottom)), as_it_is=True)
        for top, bottom in _spans(whole.height)
        for left, right in _spans(whole.width)
    ]
    codes = dict.fromkeys(code for each in seen for code in each.codes)
    return CodesSeen(tuple(codes), not codes and any(each.unread for each in seen))


def _spans(side: int) -> list[tuple[int, int]]:
    """A side in parts of at most `PART_PX` that overlap by `OVERLAP_PX`."""
    parts = max(1, ceil((side - OVERLAP_PX) / (PART_PX - OVERLAP_PX)))
    step = (side - OVERLAP_PX) / parts
    return [(round(n * step), min(side, round((n + 1) * step) + OVERLAP_PX)) for n in range(parts)]


def _sharp(grey: Image.Image) -> CodesSeen:
    return _look(grey.filter(SHARPEST), as_it_is=True)


def _look(grey: Image.Image, *, as_it_is: bool = False) -> CodesSeen:
    """`as_it_is`: neither at smaller sizes nor light on dark as well."""
    found = zxingcpp.read_barcodes(
        grey,
        formats=QR_CODES,
        return_errors=True,
        try_downscale=not as_it_is,
        try_invert=not as_it_is,
    )
    codes = [code for barcode in found if barcode.valid and (code := tag_or_number(barcode.text))]
    return CodesSeen(tuple(dict.fromkeys(codes)), any(not barcode.valid for barcode in found))


def tag_or_number(text: str) -> str:
    """The tag or the find's number that a code stands for; "" for any other code."""
    text = text.strip()
    if TAG.fullmatch(text):
        return text.upper()
    label = LABEL.fullmatch(text)
    return label[1].lower() if label else ""
