"""Printed pages as pictures, by a renderer that had no part in making them."""

import numpy
import pypdfium2
import zxingcpp
from PIL import Image

DPI = 300
DOTS_PER_MM = DPI / 25.4


def pages(pdf: bytes, dpi: int = DPI) -> list[Image.Image]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=dpi / 72).to_pil().convert("L") for page in document]
    finally:
        document.close()


def codes(picture: Image.Image) -> list[tuple[str, float, float]]:
    """Each QR's text and the middle of it, in mm from the top left."""
    found = []
    for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
        corners = code.position
        xs = [corners.top_left.x, corners.bottom_right.x]
        ys = [corners.top_left.y, corners.bottom_right.y]
        found.append((code.text, sum(xs) / 2 / DOTS_PER_MM, sum(ys) / 2 / DOTS_PER_MM))
    return found


def words(pdf: bytes, page: int = 0) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[page].get_textpage().get_text_range()
    finally:
        document.close()


def dark_columns(picture: Image.Image, y_mm: float, from_mm: float, to_mm: float) -> list[float]:
    """Where a row of the picture is dark, in mm from the left."""
    row = numpy.asarray(picture)[round(y_mm * DOTS_PER_MM)]
    first, last = max(0, round(from_mm * DOTS_PER_MM)), round(to_mm * DOTS_PER_MM)
    return [(first + int(dot) + 0.5) / DOTS_PER_MM for dot in numpy.flatnonzero(row[first:last] < 225)]
