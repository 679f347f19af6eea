"""Parts that the printed pages of the bench share."""

import io
from collections.abc import Sequence
from pathlib import Path

from reportlab.lib.utils import ImageReader

from catalogue.labels import typesetting
from catalogue.labels.page import INK, SOFT, PdfPage
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.typesetting import LEADING, wrap
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.photos.renditions import ensure_size


def picture_file(photo: Photo | None) -> Path | None:
    """The small copy of a picture on disk; None where there is none or it can't be made."""
    if photo is None or not ensure_size(photo.sha256, photo.format, "small"):
        return None
    return files.size(photo.sha256, "small")


def draw_picture(
    page: PdfPage, path: Path | None, left: float, top: float, width: float, height: float
) -> None:
    """The whole picture in a box of mm, upright in its middle; an empty frame where there is none."""
    if path is None:
        page.box(left, top, width, height)
        return
    image = ImageReader(io.BytesIO(path.read_bytes()))
    w, h = image.getSize()
    scale = min(width / w, height / h)
    w, h = w * scale, h * scale
    page.canvas.drawImage(
        image,
        page.x(left + (width - w) / 2),
        page.y(top + (height + h) / 2),
        w * POINTS_PER_MM,
        h * POINTS_PER_MM,
    )


def lines_height(
    texts: Sequence[str], size: float, width_mm: float, gap_mm: float, font: str = typesetting.TEXT_FONT
) -> float:
    """mm that paragraphs take up at a size of points."""
    pitch = size * LEADING / POINTS_PER_MM
    return sum(len(wrap(text, font, size, width_mm * POINTS_PER_MM)) * pitch + gap_mm for text in texts)


def draw_lines(
    page: PdfPage,
    text: str,
    left: float,
    top: float,
    width_mm: float,
    size: float,
    *,
    font: str = typesetting.TEXT_FONT,
    grey: float = INK,
) -> float:
    """A paragraph; gives the mm where it ends."""
    pitch = size * LEADING / POINTS_PER_MM
    for line in wrap(text, font, size, width_mm * POINTS_PER_MM):
        page.text(left, top + size * 0.86 / POINTS_PER_MM, line, font, size, grey)
        top += pitch
    return top


__all__ = ["INK", "SOFT", "draw_lines", "draw_picture", "lines_height", "picture_file"]
