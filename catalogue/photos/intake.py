"""Looking into a file that is said to be a picture: what it is, or one sentence why it is refused.

Only the file's own bytes count; neither its name nor what the browser calls it is believed. A picture counts
as whole when every one of its pixels could be decoded (Pillow's `verify()` lets truncated JPEGs pass).
"""

import logging
from dataclasses import dataclass
from pathlib import Path

import pillow_heif
from PIL import Image, UnidentifiedImageError
from PIL.JpegImagePlugin import JpegImageFile

from .exif import CameraNotes, camera_notes, is_sideways

pillow_heif.register_heif_opener()
log = logging.getLogger("siltmark.pictures")

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF")
# Memory that decoding one picture may take. A JPEG is decoded at a fraction of its size and hardly counts.
DECODED_BYTES_MAX = 350_000_000
# Bytes that one pixel takes at the worst moment: Pillow's own four and the decoder's copies. Measured as the
# peak of a process that took in the largest picture allowed (49 megapixels in HEIC, what phones go to).
BYTES_PER_PIXEL = {"PNG": 5, "TIFF": 6, "WEBP": 16, "HEIF": 7}
NOT_A_PICTURE = "This isn't a picture the catalogue can read: add a JPEG, PNG, WebP, TIFF or HEIC file."
DAMAGED = "This picture is cut short or damaged: send it again, or open it elsewhere and save it anew."


class PictureRefused(Exception):
    """A file that is not taken in. The message is one plain sentence: what is wrong and what to do."""

    @property
    def why(self) -> str:
        return str(self)


@dataclass(frozen=True, slots=True)
class Seen:
    """A whole, readable picture: its kind, its size in pixels as it is shown, and the camera's notes."""

    format: str
    width: int
    height: int
    notes: CameraNotes


def examine(path: Path, *, max_pixels: int) -> Seen:
    """Decode the picture in `path` once. Raises PictureRefused."""
    refuse_by_first_bytes(path)
    try:
        with Image.open(path, formats=FORMATS) as image:
            refuse_too_many_pixels(image, max_pixels)
            # A JPEG holding several pictures (phones do that for depth) is a JPEG to everybody else.
            kind = "JPEG" if image.format == "MPO" else image.format
            width, height = image.size
            # A TIFF's notes are read from the file, which is closed once it is loaded.
            notes = camera_notes(image) if kind == "TIFF" else None
            load_whole(image)
            if kind != "JPEG":
                width, height = image.size
            # After loading: HEIC and TIFF have been turned by then, and no longer say that they lie sideways.
            if is_sideways(image):
                width, height = height, width
            return Seen(format=kind, width=width, height=height, notes=notes or camera_notes(image))
    except PictureRefused:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning, MemoryError):
        raise PictureRefused(too_many_pixels(max_pixels)) from None
    except UnidentifiedImageError:
        raise PictureRefused(NOT_A_PICTURE) from None
    except Exception as error:
        # Decoders raise whatever broken bytes lead them to; to the person it is always the same thing.
        log.info("picture refused: %s: %s", type(error).__name__, error)
        raise PictureRefused(DAMAGED) from None


def refuse_by_first_bytes(path: Path) -> None:
    """Name what people send by mistake; all else is left to the decoders. Raises PictureRefused."""
    with path.open("rb") as file:
        start = file.read(512)
    if not start:
        raise PictureRefused("This file is empty: nothing of the picture arrived, so send it again.")
    if b"<svg" in start.lower():
        raise PictureRefused("This is an SVG drawing, which isn't taken in: save it as PNG and add that.")
    if start.startswith(b"GIF8"):
        raise PictureRefused("This is a GIF, which isn't taken in: save it as PNG or JPEG and add that.")
    if start.startswith(b"%PDF"):
        raise PictureRefused("This is a PDF, not a picture: save its page as PNG or JPEG and add that.")
    if start[4:12] in (b"ftypisom", b"ftypmp42", b"ftypqt  ", b"ftypM4V "):
        raise PictureRefused("This is a film, not a picture: add a still picture instead.")


def refuse_too_many_pixels(image: Image.Image, max_pixels: int) -> None:
    """Known from the header, before anything is decoded. Raises PictureRefused."""
    width, height = image.size
    if width < 1 or height < 1:
        raise PictureRefused(DAMAGED)
    if isinstance(image, JpegImageFile):
        # Baseline is decoded small. Progressive keeps two bytes for each of its layers until its last scan.
        per_pixel = 2 * len(image.getbands()) if image.info.get("progressive") else 0
    else:
        # A colour that stands for transparent costs another copy of the picture.
        per_pixel = BYTES_PER_PIXEL[image.format] + (4 if "transparency" in image.info else 0)
    allowed = min(max_pixels, DECODED_BYTES_MAX // per_pixel) if per_pixel else max_pixels
    if width * height > allowed:
        raise PictureRefused(too_many_pixels(allowed, f", {width:,} × {height:,} pixels"))


def too_many_pixels(allowed: int, size: str = "") -> str:
    most = allowed // 1_000_000
    return f"This picture is too large{size}: save a copy of at most {most} megapixels and add that."


def load_whole(image: Image.Image) -> None:
    """Decode every pixel. A JPEG is decoded at an eighth of its size, which still reads all of its data.

    Only a JPEG: asked for a smaller HEIC, its opener would decode the thumbnail inside, not the picture.
    """
    if isinstance(image, JpegImageFile):
        image.draft(image.mode, (max(1, image.width // 8), max(1, image.height // 8)))
    image.load()
