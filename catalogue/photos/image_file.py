"""An image file inspected: format by its content, decompression-bomb limits, EXIF metadata.

Only the file's own bytes count; neither its name nor what the browser calls it is believed. A picture counts
as whole when every one of its pixels could be decoded (Pillow's `verify()` lets truncated JPEGs pass). EXIF
tags as in the EXIF 2.32 standard (JEITA CP-3451): all of it is optional, and what can't be read, or can't be
true, is left out and never a reason to refuse a picture.
"""

import logging
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pillow_heif
from PIL import Image, UnidentifiedImageError
from PIL.JpegImagePlugin import JpegImageFile

log = logging.getLogger("siltmark.pictures")
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF")
# Memory that decoding one picture may take. A JPEG is decoded at a fraction of its size and hardly counts.
DECODED_BYTES_MAX = 350_000_000
# Bytes that one pixel takes at the worst moment: Pillow's own four and the decoder's copies. Measured as the
# peak of a process that took in the largest picture allowed (49 megapixels in HEIC, what phones go to).
BYTES_PER_PIXEL = {"PNG": 5, "TIFF": 6, "WEBP": 16, "HEIF": 7}
NOT_A_PICTURE = "This isn't a picture the catalogue can read: add a JPEG, PNG, WebP, TIFF or HEIC file."
DAMAGED = "This picture is cut short or damaged: send it again, or open it elsewhere and save it anew."
EXIF_IFD, GPS_IFD = 0x8769, 0x8825
MAKE, MODEL, ORIENTATION = 0x010F, 0x0110, 0x0112
TAKEN, TAKEN_OFFSET = 0x9003, 0x9011
DIGITISED, DIGITISED_OFFSET = 0x9004, 0x9012
# Before this no camera wrote EXIF (first version 1995); a clock that says so was never set.
FIRST_EXIF_YEAR = 1990
CAMERA_LENGTH = 200


class PictureRefused(Exception):
    """A file that is not taken in. The message is one plain sentence: what is wrong and what to do."""

    @property
    def why(self) -> str:
        return str(self)


@dataclass(frozen=True, slots=True)
class CameraNotes:
    """`taken_at` is in UTC where `offset_min` is given, else the camera's own clock written as UTC."""

    taken_at: datetime | None = None
    offset_min: int | None = None
    camera: str = ""
    position: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class InspectedImage:
    """A whole, readable picture: its kind, its size in pixels as it is shown, and the camera's notes."""

    format: str
    width: int
    height: int
    notes: CameraNotes


pillow_heif.register_heif_opener()


def examine(path: Path, *, max_pixels: int) -> InspectedImage:
    """Decode the picture in `path` once. Raises PictureRefused."""
    refuse_by_first_bytes(path)
    try:
        with Image.open(path, formats=FORMATS) as image:
            refuse_too_many_pixels(image, max_pixels)
            # A JPEG holding several pictures (phones do that for depth) is a JPEG to everybody else.
            kind = "JPEG" if image.format == "MPO" else format_of(image)
            width, height = image.size
            # A TIFF's notes are read from the file, which is closed once it is loaded.
            notes = camera_notes(image) if kind == "TIFF" else None
            load_whole(image)
            if kind != "JPEG":
                width, height = image.size
            # After loading: HEIC and TIFF have been turned by then, and no longer say that they lie sideways.
            if is_sideways(image):
                width, height = height, width
            return InspectedImage(format=kind, width=width, height=height, notes=notes or camera_notes(image))
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
        per_pixel = BYTES_PER_PIXEL[format_of(image)] + (4 if "transparency" in image.info else 0)
    allowed = min(max_pixels, DECODED_BYTES_MAX // per_pixel) if per_pixel else max_pixels
    if width * height > allowed:
        raise PictureRefused(too_many_pixels(allowed, f", {width:,} × {height:,} pixels"))


def too_many_pixels(allowed: int, size: str = "") -> str:
    """The sentence for a picture past the limit, in whole megapixels."""
    most = allowed // 1_000_000
    return f"This picture is too large{size}: save a copy of at most {most} megapixels and add that."


def format_of(image: Image.Image) -> str:
    """What Pillow took an opened file for."""
    assert image.format is not None  # only a picture that was made, not opened, has none
    return image.format


def load_whole(image: Image.Image) -> None:
    """Decode every pixel. A JPEG is decoded at an eighth of its size, which still reads all of its data.

    Only a JPEG: asked for a smaller HEIC, its opener would decode the thumbnail inside, not the picture.
    """
    if isinstance(image, JpegImageFile):
        image.draft(image.mode, (max(1, image.width // 8), max(1, image.height // 8)))
    image.load()


def camera_notes(image: Image.Image) -> CameraNotes:
    """Read what there is; never raises."""
    top = _block(image)
    detail = _block(image, EXIF_IFD)
    taken_at, offset_min = _taken(detail)
    return CameraNotes(taken_at, offset_min, camera_name(top), position(_block(image, GPS_IFD)))


def is_sideways(image: Image.Image) -> bool:
    """Whether shown width and height are swapped. HEIC comes already turned, its tag reset by the opener."""
    return _block(image).get(ORIENTATION) in (5, 6, 7, 8)


def _block(image: Image.Image, which: int | None = None) -> Mapping[int, Any]:
    """One block of tags as a plain dict, empty when it can't be read."""
    try:
        exif = image.getexif()
        return dict(exif if which is None else exif.get_ifd(which))
    except Exception:
        # A broken block raises anything from struct.error to RecursionError; the picture itself is fine.
        return {}


def _taken(detail: Mapping[int, Any]) -> tuple[datetime | None, int | None]:
    for when, zone in ((TAKEN, TAKEN_OFFSET), (DIGITISED, DIGITISED_OFFSET)):
        moment = local_time(detail.get(when))
        if moment is not None:
            offset = offset_minutes(detail.get(zone))
            fixed = UTC if offset is None else timezone(timedelta(minutes=offset))
            return moment.replace(tzinfo=fixed).astimezone(UTC), offset
    return None, None


def local_time(value: Any, *, now: datetime | None = None) -> datetime | None:
    """ "2026:08:14 10:21:07" as a time without zone; None for anything else, before 1990 or to come."""
    found = re.fullmatch(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)", clean(value))
    if not found:
        return None
    try:
        year, month, day, hour, minute, second = map(int, found.groups())
        moment = datetime(year, month, day, hour, minute, second)
    except ValueError:
        return None
    # Two days of grace: the zone is not known here.
    latest = (now or datetime.now()) + timedelta(days=2)
    return moment if moment.year >= FIRST_EXIF_YEAR and moment <= latest else None


def offset_minutes(value: Any) -> int | None:
    """ "-04:00" or "Z" as minutes from UTC; None for anything else (no zone is further than 14 hours)."""
    text = clean(value)
    if text == "Z":
        return 0
    found = re.fullmatch(r"([+-])(\d\d):([0-5]\d)", text)
    if not found:
        return None
    minutes = int(found[2]) * 60 + int(found[3])
    if minutes > 14 * 60:
        return None
    return -minutes if found[1] == "-" else minutes


def camera_name(top: Mapping[int, Any]) -> str:
    """Make and model, the make once."""
    make, model = clean(top.get(MAKE)), clean(top.get(MODEL))
    name = model if model.lower().startswith(make.lower()) else f"{make} {model}"
    return name.strip()[:CAMERA_LENGTH]


def position(gps: Mapping[int, Any]) -> tuple[float, float] | None:
    """Latitude and longitude in degrees to six places; None where they can't be on Earth, or are 0, 0."""
    latitude = _degrees(gps.get(2), clean(gps.get(1)), "N", "S", 90)
    longitude = _degrees(gps.get(4), clean(gps.get(3)), "E", "W", 180)
    if latitude is None or longitude is None or latitude == longitude == 0:
        return None
    return latitude, longitude


def _degrees(parts: Any, side: str, plus: str, minus: str, limit: int) -> float | None:
    if side.upper() not in (plus, minus):
        return None
    try:
        degrees, minutes, seconds = (float(part) for part in parts)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    value = degrees + minutes / 60 + seconds / 3600
    if not math.isfinite(value) or min(degrees, minutes, seconds) < 0 or max(minutes, seconds) > 60:
        return None
    if value > limit:
        return None
    return round(-value if side.upper() == minus else value, 6)


def clean(value: Any) -> str:
    """Text as a camera meant it: without zero bytes, control characters and padding."""
    if isinstance(value, bytes):
        value = value.decode("ascii", "replace")
    if not isinstance(value, str):
        return ""
    return " ".join("".join(c if c.isprintable() else " " for c in value.split("\0")[0]).split())
