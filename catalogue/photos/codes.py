"""Reading the code of a field tag, or of a shelf label, in a picture. Pixels in, words out."""

import re
from dataclasses import dataclass
from pathlib import Path

import zxingcpp
from PIL import Image, ImageFilter, ImageOps

# A tag is letters and a number (T-65); a shelf label's code is an address that ends in the find's number.
TAG = re.compile(r"[A-Z]{1,3}-?\d{1,6}", re.IGNORECASE)
LABEL = re.compile(r"https?://\S+/f/(\d{4}\.\d{1,6}\.\d{1,6}[a-z]?)/?", re.IGNORECASE)
# Blur that hides a code at full size is gone at half of it: the second look.
SECOND_LOOK_PX = 800


@dataclass(frozen=True, slots=True)
class CodesSeen:
    """The tags and numbers read, each once; `unread` where a code is there that could not be read."""

    codes: tuple[str, ...] = ()
    unread: bool = False


def codes_in(picture: Image.Image) -> CodesSeen:
    """What the codes in a picture say. Codes of other things (a parcel, a poster) count as none."""
    grey = picture.convert("L")
    seen = _look(grey)
    if seen.codes:
        return seen
    smaller = grey.copy()
    smaller.thumbnail((SECOND_LOOK_PX, SECOND_LOOK_PX))
    again = _look(ImageOps.autocontrast(smaller.filter(ImageFilter.UnsharpMask(3, 180))))
    return CodesSeen(again.codes, not again.codes and (seen.unread or again.unread))


def codes_of_file(path: Path) -> CodesSeen:
    """The same for a picture in a file. Raises OSError."""
    with Image.open(path) as picture:
        return codes_in(picture)


def _look(grey: Image.Image) -> CodesSeen:
    found = zxingcpp.read_barcodes(grey, formats=zxingcpp.BarcodeFormat.QRCode, return_errors=True)
    codes = [code for barcode in found if barcode.valid and (code := meant(barcode.text))]
    return CodesSeen(tuple(dict.fromkeys(codes)), any(not barcode.valid for barcode in found))


def meant(text: str) -> str:
    """The tag or the find's number that a code stands for; "" for any other code."""
    text = text.strip()
    if TAG.fullmatch(text):
        return text.upper()
    label = LABEL.fullmatch(text)
    return label[1].lower() if label else ""
