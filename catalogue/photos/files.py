"""Content-addressed store of picture files: every name on disk is made from a SHA-256, none from a user."""

import hashlib
import os
import re
import secrets
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock

from django.conf import settings

ENDINGS = {"JPEG": "jpg", "PNG": "png", "WEBP": "webp", "TIFF": "tif", "HEIF": "heic"}
# Longest side in pixels: a card, half a page on a phone, a whole screen.
SIZES_PX = {"small": 360, "medium": 900, "large": 1800}
DIGEST = re.compile(r"[0-9a-f]{64}")
# Held while a file is kept or removed: the sweep never takes what is just being kept again.
KEEPING = Lock()


class TooLarge(Exception):
    """More bytes came than one picture may have."""


def root() -> Path:
    """The folder of pictures."""
    return Path(settings.MEDIA_ROOT)


def original(sha256: str, kind: str) -> Path:
    """Where the original with that digest lies, or would. Raises ValueError for what is no digest."""
    return root() / "originals" / checked_digest(sha256)[:2] / f"{sha256}.{ENDINGS[kind]}"


def size(sha256: str, name: str) -> Path:
    """Where the smaller copy `name` ("small", "medium", "large") lies, or would."""
    if name not in SIZES_PX:
        raise ValueError(f"no size is called {name!r}")
    return root() / "sizes" / checked_digest(sha256)[:2] / f"{sha256}-{name}.jpg"


def has_sizes(sha256: str) -> bool:
    """Whether every smaller copy is there."""
    return all(size(sha256, name).exists() for name in SIZES_PX)


def checked_digest(sha256: str) -> str:
    """The same text, if it is a SHA-256 in hexadecimal; else ValueError."""
    if not DIGEST.fullmatch(sha256):
        raise ValueError("not a digest")
    return sha256


@contextmanager
def arriving(chunks: Iterable[bytes], *, max_bytes: int) -> Iterator[tuple[Path, str, int]]:
    """Bytes written beside the originals: their path, SHA-256 and length. Gone afterwards unless kept.

    Raises TooLarge as soon as more than `max_bytes` came.
    """
    folder = root() / "arriving"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / secrets.token_hex(16)
    digest, length = hashlib.sha256(), 0
    try:
        with path.open("xb") as file:
            for chunk in chunks:
                length += len(chunk)
                if length > max_bytes:
                    raise TooLarge
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        yield path, digest.hexdigest(), length
    finally:
        path.unlink(missing_ok=True)


def keep_original(arrived: Path, sha256: str, kind: str) -> Path:
    """Put an arrived file in its place for good; the same bytes are kept once."""
    place = original(sha256, kind)
    with KEEPING:
        if place.exists() and place.stat().st_size == arrived.stat().st_size:
            # Young again: the sweep must not take it before its new row is written.
            os.utime(place)
            return place
        make_folder(place.parent)
        os.replace(arrived, place)
        sync_folder(place.parent)
    return place


def keep_size(sha256: str, name: str, jpeg: bytes) -> None:
    """Write a smaller copy. Not forced to disk: it can always be made again."""
    place = size(sha256, name)
    place.parent.mkdir(parents=True, exist_ok=True)
    part = place.with_name(f"{place.name}.{secrets.token_hex(4)}.part")
    try:
        part.write_bytes(jpeg)
        os.replace(part, place)
    finally:
        part.unlink(missing_ok=True)


def make_folder(folder: Path) -> None:
    """A folder that is there after a crash as well."""
    if not folder.exists():
        folder.mkdir(parents=True, exist_ok=True)
        sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Force a folder's own list of names to disk, where the system can (Windows can't)."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def stored() -> Iterator[Path]:
    """Every file of this room, whole or left over."""
    for room in ("originals", "sizes", "arriving"):
        yield from (path for path in (root() / room).rglob("*") if path.is_file())


def digest_in_name(path: Path) -> str | None:
    """The digest that a file of ours carries in its name."""
    found = DIGEST.match(path.name)
    return found[0] if found else None


def remove_if_old(path: Path, seconds: float) -> bool:
    """Remove a file that was last written more than `seconds` ago. Whether it went."""
    with KEEPING, suppress(FileNotFoundError):
        if time.time() - path.stat().st_mtime > seconds:
            path.unlink()
            return True
    return False


def digest_of(path: Path) -> str:
    """SHA-256 of a file's bytes. Raises OSError."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
