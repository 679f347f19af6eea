"""Content-addressed files: written beside their place, forced to disk, then named by their SHA-256."""

import hashlib
import os
import secrets
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

_OWNER_ONLY, _OWNER_FOLDER = 0o600, 0o700


def keep_by_digest(room: Path, chunks: Iterable[bytes], ending: str) -> Path:
    """Keep bytes under their digest in a folder of the data folder, the owner's alone; gives their path.

    They are there whole, after a crash as well, or not at all. The same bytes are kept once; a file there
    that is no longer what its name says (a damaged disk) is replaced. Raises OSError.
    """
    _make_folder(room)
    arriving, digest = room / f"{secrets.token_hex(8)}.part", hashlib.sha256()
    try:
        handle = os.open(
            arriving, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), _OWNER_ONLY
        )
        with os.fdopen(handle, "wb") as file:
            for chunk in chunks:
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        name = digest.hexdigest()
        place = room / name[:2] / f"{name}.{ending}"
        if not is_what_it_says(place):
            _make_folder(place.parent)
            os.replace(arriving, place)
            _sync_folder(place.parent)
    finally:
        arriving.unlink(missing_ok=True)
    return place


def is_what_it_says(place: Path) -> bool:
    """Whether the file is there with exactly the bytes of the digest that is its name."""
    try:
        with place.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == place.stem
    except OSError:
        return False


def _make_folder(folder: Path) -> None:
    """Raises FileNotFoundError where the data folder is gone (a stick pulled out): it is never made anew."""
    if folder.exists():
        return
    # `files` in the data folder may be missing, the data folder may not.
    for each in (folder.parent, folder):
        if not each.exists():
            each.mkdir(mode=_OWNER_FOLDER, exist_ok=True)
            _sync_folder(each.parent)


def _sync_folder(folder: Path) -> None:
    """Force a folder's own list of names to disk, where the system can (Windows can't)."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
