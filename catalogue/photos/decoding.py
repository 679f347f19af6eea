"""Decoding and resizing pictures in bounded memory: thread pool, EXIF orientation, ICC profile to sRGB, JPEG.

Copies come in three sizes, progressive, with nothing of the camera in them; a close-up shows the picture as
near as it was taken. Knows no database.
"""

import ctypes
import io
import logging
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from math import ceil, log2, sqrt
from pathlib import Path
from threading import BoundedSemaphore, get_native_id
from typing import Any, ParamSpec, TypeVar

from PIL import Image, ImageCms, ImageOps
from PIL.JpegImagePlugin import JpegImageFile

from .files import SIZES_PX
from .image_file import FORMATS

log = logging.getLogger("siltmark.pictures")

Given = ParamSpec("Given")
Made = TypeVar("Made")

# One for each of the two cores of a modest laptop: the page that is being asked for, and the worker.
AT_MOST_TWO = BoundedSemaphore(2)
# How far behind the pages' threads, on the system's scale from 0 to 19 (our own choice).
NICENESS = 5
# The GNU library's own number for the setting (malloc.h).
M_ARENA_MAX = -8
# Ours: a phone's usual 12 megapixels whole, and never more memory than taking it in needs.
BOUNDED_PIXELS = 16_000_000
JPEG_QUALITY = {"small": 78, "medium": 80, "large": 82}
CLOSE_UP_QUALITY = 88
# Transparent parts are shown as on a sheet of the catalogue's paper.
PAPER = (251, 248, 241)
SRGB = ImageCms.createProfile("sRGB")


def share_one_heap() -> bool:
    """Let all threads take memory from one heap (malloc arena); whether that could be set.

    Usually each thread has a heap of its own, and each keeps what a picture once needed: with two threads and
    tags looked for in 12 megapixels the server's peak was 20 MB higher (measured). Only the GNU library knows
    the setting; elsewhere nothing changes.
    """
    if sys.platform != "linux":
        return False
    with suppress(OSError, AttributeError):
        return bool(ctypes.CDLL(None).mallopt(M_ARENA_MAX, 1))
    return False


def let_pages_go_first() -> None:
    """Put the thread that calls this behind the others where the system weighs threads singly (Linux).

    A program that was itself put further back (`nice`) stays there.
    """
    if sys.platform == "linux":
        with suppress(OSError):
            own = os.getpriority(os.PRIO_PROCESS, get_native_id())
            os.setpriority(os.PRIO_PROCESS, get_native_id(), max(own, NICENESS))


# The same two threads for all of it. A thread keeps the memory it once used for a picture: the eight of the
# server, each with a turn at it, held more than twice as much (measured with 12-megapixel pictures).
_THREADS = ThreadPoolExecutor(2, thread_name_prefix="picture", initializer=let_pages_go_first)


def in_turn(work: Callable[Given, Made], *given: Given.args, **more: Given.kwargs) -> Made:
    """Do picture work in one of the two threads, and wait for it; what it raises is raised here.

    The work must not touch the database, whose connections belong to their threads, nor call this again.
    """

    def with_room() -> Made:
        with AT_MOST_TWO:
            return work(*given, **more)

    return _THREADS.submit(with_room).result()


def all_begun(work: Callable[..., Made], given: Iterable[tuple[Any, ...]]) -> Iterator[Made]:
    """The same for each of several, all begun at once; each is waited for when it is asked for.

    What one of them raises is raised there.
    """

    def with_room(one: tuple[Any, ...]) -> Made:
        with AT_MOST_TWO:
            return work(*one)

    return _THREADS.map(with_room, given)


@dataclass(frozen=True, slots=True)
class Rendition:
    """One smaller copy."""

    name: str
    width: int
    height: int
    jpeg: bytes


def derive(path: Path) -> Iterator[Rendition]:
    """The sizes of the picture in `path`, largest first. Raises what Pillow raises for a damaged file."""
    picture = largest(path)
    for name, longest in sorted(SIZES_PX.items(), key=lambda size: size[1], reverse=True):
        shrink(picture, longest)
        yield Rendition(name, picture.width, picture.height, as_jpeg(picture, JPEG_QUALITY[name]))


def largest(path: Path) -> Image.Image:
    """The picture in `path` as the largest size shows it; nothing else of it is left in memory."""
    with Image.open(path, formats=FORMATS) as image:
        if isinstance(image, JpegImageFile):
            # Asked before anything else touches the pixels: decoded small at once.
            image.draft(image.mode, shown_size(*image.size, "large"))
        image.load()
        picture = averageable(image)
        shrink(picture, SIZES_PX["large"])
        # Shrinking first and turning then is four times faster than the other way round.
        return to_srgb(turned_upright(picture))


def shrink(picture: Image.Image, longest: int) -> None:
    """Shrink in place to that longest side in pixels; never blow up.

    Halved by averaging as often as that goes, then cubic: as sharp to the eye as the dearest filter over the
    whole way, for half the time.
    """
    # Pillow's quick first step in whole numbers does not know 16-bit grey.
    gap = None if picture.mode.startswith("I;16") else 1.0
    picture.thumbnail((longest, longest), Image.Resampling.BICUBIC, reducing_gap=gap)


def as_jpeg(picture: Image.Image, quality: int) -> bytes:
    """Progressive JPEG bytes; `picture.info` must be empty, or its comment would be written too."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, progressive=True, optimize=True)
    return out.getvalue()


def shown_size(width: int, height: int, name: str) -> tuple[int, int]:
    """Width and height in pixels of the copy `name` of a picture of that size, within a pixel."""
    longest = max(width, height)
    if longest <= SIZES_PX[name]:
        return width, height
    scale = SIZES_PX[name] / longest
    return max(1, round(width * scale)), max(1, round(height * scale))


def is_closer(width: int, height: int) -> bool:
    """Whether there is more to see in the original than in the largest copy."""
    return max(width, height) > SIZES_PX["large"]


def close_up(path: Path) -> bytes:
    """The picture in `path` right way up, in sRGB, with nothing of the camera in it, as a plain JPEG.

    Raises what Pillow raises for a damaged file.
    """
    with Image.open(path, formats=FORMATS) as image:
        picture = to_srgb(turned_upright(bounded(image)))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=CLOSE_UP_QUALITY)
    return out.getvalue()


def bounded(image: Image.Image, mode: str | None = None) -> Image.Image:
    """The pixels of an opened picture, at most `BOUNDED_PIXELS` of them, not turned yet.

    A JPEG is decoded at a half, a quarter or an eighth where that is enough, and as `mode` "L" in grey alone.
    """
    over = image.width * image.height / BOUNDED_PIXELS
    if isinstance(image, JpegImageFile):
        part = 2 ** ceil(log2(over) / 2) if over > 1 else 1
        image.draft(mode or image.mode, (image.width // part, image.height // part))
    image.load()
    picture = averageable(image)
    if picture.width * picture.height > BOUNDED_PIXELS:
        share = sqrt(BOUNDED_PIXELS / (picture.width * picture.height))
        picture.thumbnail((max(1, int(picture.width * share)), max(1, int(picture.height * share))))
    return picture


def turned_upright(picture: Image.Image) -> Image.Image:
    """The same picture, the right way up by its EXIF orientation; unreadable tags are passed over."""
    # As in `image_file`: a broken block raises anything, and only means that the tag is not known.
    with suppress(Exception):
        # In place: a picture that lies the right way up is not copied.
        ImageOps.exif_transpose(picture, in_place=True)
    return picture


def averageable(image: Image.Image) -> Image.Image:
    """Pixels that can be averaged: a palette's numbers and single bits can't, nor a colour meant as clear.

    Cheap for everything else: the same image comes back. Call it before resizing.
    """
    if image.mode in ("P", "PA"):
        return image.convert("RGBA" if image.has_transparency_data else "RGB")
    if image.mode == "1":
        return image.convert("L")
    if image.mode in ("L", "RGB") and "transparency" in image.info:
        return image.convert("RGBA")
    return image


def to_srgb(image: Image.Image) -> Image.Image:
    """RGB pixels in sRGB, transparency laid on paper, and nothing else carried along.

    Where they are that already, the same image comes back: a copy would cost as much memory again.
    """
    profile = image.info.get("icc_profile")
    if image.mode in ("RGBA", "LA", "RGBa", "La"):
        image = _on_paper(image)
    if image.mode.startswith(("I", "F")):
        image = _in_256_levels(image)
    if image.mode == "LAB":
        plain = _converted(image, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")))
    else:
        plain = _by_profile(image, profile) or (image if image.mode == "RGB" else image.convert("RGB"))
    plain.info = {}
    return plain


def _in_256_levels(image: Image.Image) -> Image.Image:
    """Grey of 16 bits as it is meant; grey of 32 bits or floating, which never says, darkest to lightest."""
    low, high = (0.0, 65535.0) if image.mode.startswith("I;16") else _extremes(image)
    scale = 255 / ((high - low) or 1)
    return image.convert("F").point(lambda level: level * scale - low * scale).convert("L")


def _extremes(image: Image.Image) -> tuple[float, float]:
    """Darkest and lightest value of a picture in one channel."""
    low, high = image.getextrema()
    assert not isinstance(low, tuple) and not isinstance(high, tuple)
    return low, high


def _on_paper(image: Image.Image) -> Image.Image:
    clear = image.convert("RGBA")
    paper = Image.new("RGBA", clear.size, (*PAPER, 255))
    return Image.alpha_composite(paper, clear).convert("RGB")


def _by_profile(image: Image.Image, profile: bytes | None) -> Image.Image | None:
    """Converted by the picture's own colour profile, or None where there is none that fits its pixels."""
    if not profile:
        return None
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if image.mode != "CMYK" and "sRGB" in ImageCms.getProfileDescription(source):
            return None
        return _converted(image, source)
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError) as error:
        log.info("colour profile passed over: %s", error)
        return None


def _converted(image: Image.Image, source: ImageCms.ImageCmsProfile) -> Image.Image:
    """From a colour profile to sRGB. Raises PyCMSError."""
    converted = ImageCms.profileToProfile(image, source, SRGB, outputMode="RGB")
    assert converted is not None  # only a conversion in place gives none
    return converted
