"""A file into the data folder: looked into, and kept bit for bit before any row speaks of it."""

import errno
import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO, Protocol

from django.conf import settings

from catalogue.common.limits import NAME_LENGTH
from catalogue.photos import files
from catalogue.photos.decoding import in_turn
from catalogue.photos.intake import PictureRefused, examine

CHUNK = 1024 * 1024
NO_ROOM = "There is no room left on the disk: make some, then send the picture again."


class Upload(Protocol):
    """A file as Django hands it over."""

    name: str | None

    def chunks(self) -> Iterable[bytes]: ...


Source = Upload | Path | BinaryIO


def store(source: Source) -> dict[str, object]:
    """Keep the original and return what is known of it, as the columns of `PictureFacts`.

    Raises PictureRefused, leaving nothing behind.
    """
    try:
        with files.arriving(chunks_of(source), max_bytes=settings.UPLOAD_MAX_BYTES) as (path, sha256, length):
            seen = in_turn(examine, path, max_pixels=settings.PICTURE_MAX_PIXELS)
            files.keep_original(path, sha256, seen.format)
    except files.TooLarge:
        raise PictureRefused(too_heavy()) from None
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EDQUOT):
            raise
        raise PictureRefused(NO_ROOM) from None
    latitude, longitude = seen.notes.position or (None, None)
    return {
        "sha256": sha256,
        "format": seen.format,
        "bytes": length,
        "width": seen.width,
        "height": seen.height,
        "original_name": shown_name(source),
        "taken_at": seen.notes.taken_at,
        "taken_offset_min": seen.notes.offset_min,
        "camera": seen.notes.camera,
        "latitude": latitude,
        "longitude": longitude,
    }


def too_heavy() -> str:
    """The sentence for a file past the byte limit."""
    limit = settings.UPLOAD_MAX_BYTES // (1024 * 1024)
    return f"This file is larger than {limit} MB: send a smaller copy of it."


def shown_name(source: Source) -> str:
    """The name the file came with, as text to show; it is never used on disk."""
    named = str(getattr(source, "name", "") or "")
    last = os.path.basename(named.replace("\\", "/"))
    return "".join(c for c in last if c.isprintable())[:NAME_LENGTH]


def chunks_of(source: Source) -> Iterator[bytes]:
    """The bytes in pieces, from the beginning."""
    if isinstance(source, Path):
        with source.open("rb") as file:
            yield from iter(lambda: file.read(CHUNK), b"")
    elif hasattr(source, "chunks"):
        yield from source.chunks()
    else:
        yield from iter(lambda: source.read(CHUNK), b"")
