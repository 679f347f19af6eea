"""Shelves photographed at an angle: labels as the catalogue prints them, in rows, seen aslant, blurred."""

from collections.abc import Sequence

import cv2
import numpy
from PIL import Image

from catalogue.common.qr_code import modules
from catalogue.labels.label_text import LabelText
from catalogue.labels.sheet_pdf import label_sheet
from catalogue.labels.sheets import sheet
from tests.labels.rendering import pages
from tests.photos.drawn import encoded

SHEET, DPI = "a4-65", 300
PIXELS = (4032, 3024)  # as most phones take them
# Where the four corners of the shelf stand in the picture, in parts of it.
FROM = {
    "left": ((0.04, 0.05), (0.97, 0.24), (0.96, 0.76), (0.05, 0.97)),
    "right": ((0.03, 0.26), (0.96, 0.04), (0.97, 0.96), (0.04, 0.74)),
    "above": ((0.20, 0.08), (0.86, 0.15), (0.97, 0.93), (0.05, 0.86)),
}


def printed_labels(codes: Sequence[tuple[str, str]]) -> list[Image.Image]:
    """A label for each number with what its code holds, cut out of the catalogue's own printed sheets."""
    each = sheet(SHEET)
    labels = [LabelText(number=number, title="Aqua soda bottle", code=code) for number, code in codes]
    sheets = pages(label_sheet(labels, each), dpi=DPI)
    cut = []
    for place in range(len(labels)):
        left, top = (mm * DPI / 25.4 for mm in each.place(place % each.per_page))
        size = (each.label_width_mm * DPI / 25.4, each.label_height_mm * DPI / 25.4)
        box = (round(left), round(top), round(left + size[0]), round(top + size[1]))
        cut.append(sheets[place // each.per_page].crop(box))
    return cut


def shelf_shot(
    codes: Sequence[tuple[str, str]], *, seen_from: str = "left", across: int = 6, blur: float = 1.2
) -> Image.Image:
    """The labels in rows of `across`, photographed; `blur` in pixels of the picture."""
    labels = printed_labels(codes)
    wide, high = labels[0].width * 5 // 4, labels[0].height * 3 // 2
    rows = -(-len(labels) // across)
    board = Image.effect_noise((wide * across, high * rows), 18).point(lambda level: level * 0.55 + 40)
    for place, label in enumerate(labels):
        turned = label.rotate((place * 7) % 11 - 5, Image.Resampling.BICUBIC, expand=True, fillcolor=110)
        board.paste(turned, (place % across * wide + wide // 12, place // across * high + high // 12))
    flat = numpy.float32([(0, 0), (board.width, 0), board.size, (0, board.height)])
    seen = numpy.float32([(x * PIXELS[0], y * PIXELS[1]) for x, y in FROM[seen_from]])
    smaller = cv2.GaussianBlur(numpy.asarray(board), (0, 0), max(0.1, board.width / PIXELS[0] / 2))
    aslant = cv2.warpPerspective(smaller, cv2.getPerspectiveTransform(flat, seen), PIXELS, borderValue=70)
    if blur:
        aslant = cv2.GaussianBlur(aslant, (0, 0), blur)
    # A lamp at one end, and the noise of a phone in a cellar.
    lit = aslant * numpy.linspace(0.55, 1.0, PIXELS[0])[None, :]
    lit += numpy.random.default_rng(7).normal(0, 4, lit.shape)
    return Image.fromarray(numpy.clip(lit, 0, 255).astype(numpy.uint8)).convert("RGB")


def code_shot(*texts: str, px: int = 6) -> bytes:
    """Codes side by side, straight, on grey."""
    drawn = []
    for text in texts:
        rows = numpy.array([list(row) for row in modules(text)], dtype=numpy.uint8)
        drawn.append(Image.fromarray(255 - 255 * numpy.pad(rows, 4).repeat(px, 0).repeat(px, 1)))
    shot = Image.new(
        "L", (sum(each.width + 40 for each in drawn), max(each.height for each in drawn) + 80), 200
    )
    at = 20
    for each in drawn:
        shot.paste(each, (at, 40))
        at += each.width + 40
    return encoded(shot.convert("RGB"))
