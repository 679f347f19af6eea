"""Content-addressed store of picture files: every name on disk is made from a SHA-256, none from a user.

Nothing here removes an original but `remove_original`, which only the owner's own word leads to
(`services/deletion.py`, `services/set_aside.py`).
"""

import hashlib
import logging
import os
import re
import secrets
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock

from django.conf import settings

from catalogue.common.kept_files import is_whole, make_folder, new_file, sync_folder

log = logging.getLogger("siltmark.pictures")

ENDINGS = {"JPEG": "jpg", "PNG": "png", "WEBP": "webp", "TIFF": "tif", "HEIF": "heic"}
# Longest side in pixels: a card, half a page on a phone, a whole screen.
SIZES_PX = {"small": 360, "medium": 900, "large": 1800}
DIGEST = re.compile(r"[0-9a-f]{64}")
# Held while a file is kept, moved or removed: nothing is set aside that is just being kept again.
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


def cut(sha256: str) -> Path:
    """Where the bottle cut out of the picture lies, or would; many pictures have none."""
    return root() / "sizes" / checked_digest(sha256)[:2] / f"{sha256}-cut.webp"


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
    make_folder(folder)
    path = folder / secrets.token_hex(16)
    digest, length = hashlib.sha256(), 0
    try:
        with new_file(path) as file:
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
    """Put an arrived file in its place for good; the same bytes are kept once.

    A file there that is no longer what its name says (a damaged disk) is healed: these bytes take its place.
    """
    place = original(sha256, kind)
    with KEEPING:
        if is_whole(place, sha256):
            # Young again: it must not be set aside before its new row is written.
            os.utime(place)
            return place
        make_folder(place.parent)
        if place.exists():
            log.warning("the original %s was damaged on disk and is whole again", place.name)
            remove_sizes(sha256)
        os.replace(arrived, place)
        sync_folder(place.parent)
    return place


def keep_size(sha256: str, name: str, jpeg: bytes) -> None:
    """Write a smaller copy."""
    keep_copy(size(sha256, name), jpeg)


def keep_copy(place: Path, content: bytes) -> None:
    """Write what was made of an original. Not forced to disk: it can always be made again."""
    make_folder(place.parent)
    part = place.with_name(f"{place.name}.{secrets.token_hex(4)}.part")
    try:
        with new_file(part) as file:
            file.write(content)
        os.replace(part, place)
    finally:
        part.unlink(missing_ok=True)


def originals() -> Iterator[Path]:
    """Every file in the room of originals, also what is not named as one."""
    yield from (path for path in (root() / "originals").rglob("*") if path.is_file())


def stored() -> Iterator[Path]:
    """Every file of this store, whole or left over."""
    yield from originals()
    for room in ("sizes", "arriving"):
        yield from (path for path in (root() / room).rglob("*") if path.is_file())


def digest_in_name(path: Path) -> str | None:
    """The digest that a file of ours carries in its name."""
    found = DIGEST.match(path.name)
    return found[0] if found else None


def kind_in_name(path: Path) -> str | None:
    """The kind of picture that the name of an original ends in, also where a number follows."""
    kinds = {ending: kind for kind, ending in ENDINGS.items()}
    return next((kinds[part] for part in path.name.split(".")[1:] if part in kinds), None)


def remove_copy_if_old(path: Path, seconds: float) -> bool:
    """Remove a smaller copy, or what is left of an arrival, last written more than `seconds` ago.

    Whether it went. Raises ValueError for an original.
    """
    if path.is_relative_to(root() / "originals"):
        raise ValueError("an original is never swept away")
    with KEEPING, suppress(FileNotFoundError):
        if is_old(path, seconds):
            path.unlink()
            return True
    return False


def is_old(path: Path, seconds: float) -> bool:
    """Whether it was last written more than `seconds` ago; raises FileNotFoundError."""
    return time.time() - path.stat().st_mtime > seconds


def remove_sizes(sha256: str) -> None:
    """Remove the smaller copies of an original; they can be made again."""
    for copy in (*(size(sha256, name) for name in SIZES_PX), cut(sha256)):
        copy.unlink(missing_ok=True)


def remove_original(sha256: str, kind: str) -> int:
    """Delete an original and its smaller copies for good; the bytes that went, 0 where it wasn't there."""
    place = original(sha256, kind)
    with KEEPING:
        remove_sizes(sha256)
        try:
            length = place.stat().st_size
            place.unlink()
        except FileNotFoundError:
            return 0
        sync_folder(place.parent)
    return length
