"""What a camera wrote into a picture: time, camera, position, which way up.

Tags as in the EXIF 2.32 standard (JEITA CP-3451). Everything here is optional: what can't be read, or can't
be true, is left out and never a reason to refuse a picture.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from PIL import Image

EXIF_IFD, GPS_IFD = 0x8769, 0x8825
MAKE, MODEL, ORIENTATION = 0x010F, 0x0110, 0x0112
TAKEN, TAKEN_OFFSET = 0x9003, 0x9011
DIGITISED, DIGITISED_OFFSET = 0x9004, 0x9012
# Before this no camera wrote EXIF (first version 1995); a clock that says so was never set.
FIRST_YEAR = 1990
CAMERA_LENGTH = 200


@dataclass(frozen=True, slots=True)
class CameraNotes:
    """`taken_at` is in UTC where `offset_min` is given, else the camera's own clock written as UTC."""

    taken_at: datetime | None = None
    offset_min: int | None = None
    camera: str = ""
    position: tuple[float, float] | None = None


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
        moment = datetime(*(int(part) for part in found.groups()))
    except ValueError:
        return None
    # Two days of grace: the zone is not known here.
    latest = (now or datetime.now()) + timedelta(days=2)
    return moment if moment.year >= FIRST_YEAR and moment <= latest else None


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
