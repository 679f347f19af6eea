"""Content-addressed files: limited in size while they stream in, forced to disk, named by their SHA-256."""

import hashlib
import os
import secrets
import shutil
from collections.abc import Iterable
from contextlib import suppress
from io import FileIO
from pathlib import Path
from typing import Any, BinaryIO

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile

OWNER_ONLY, OWNER_FOLDER = 0o600, 0o700


def keep_by_digest(room: Path, chunks: Iterable[bytes], ending: str) -> Path:
    """Keep bytes under their digest in a folder of the data folder, the owner's alone; gives their path.

    They are there whole, after a crash as well, or not at all. The same bytes are kept once; a file there
    that is no longer what its name says (a damaged disk) is replaced. Raises OSError.
    """
    make_folder(room)
    arriving, digest = room / f"{secrets.token_hex(8)}.part", hashlib.sha256()
    try:
        with new_file(arriving) as file:
            for chunk in chunks:
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        name = digest.hexdigest()
        place = room / name[:2] / f"{name}.{ending}"
        if not is_whole(place, name):
            make_folder(place.parent)
            os.replace(arriving, place)
            sync_folder(place.parent)
    finally:
        arriving.unlink(missing_ok=True)
    return place


def is_whole(place: Path, sha256: str) -> bool:
    """Whether the file is there with exactly the bytes of that digest."""
    try:
        return digest_of(place) == sha256
    except OSError:
        return False


def digest_of(path: Path) -> str:
    """SHA-256 of a file's bytes. Raises OSError."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def digest_on_disk(path: Path) -> str:
    """The same of the bytes that the disk holds, not of those that memory still has of them; memory keeps
    none of them either, as a look at gigabytes would push out what the pages need. Raises OSError.
    """
    with path.open("rb", buffering=0) as file:
        let_go_of(file, 0, None)
        try:
            return hashlib.file_digest(file, "sha256").hexdigest()
        finally:
            let_go_of(file, 0, None)


def let_go_of(file: FileIO, begin: int, length: int | None) -> None:
    """Ask the system to forget a stretch of a file that is on disk; it is read from there the next time.

    Gigabytes that pass through once would push out of memory what the pages need. Nothing happens where the
    system knows no such wish.
    """
    if forget := getattr(os, "posix_fadvise", None):
        with suppress(OSError):
            forget(file.fileno(), begin, length or 0, os.POSIX_FADV_DONTNEED)


def new_file(path: Path) -> BinaryIO:
    """A file that is not there yet, opened for writing, readable by its owner alone. Raises OSError."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), OWNER_ONLY)
    return os.fdopen(handle, "wb")


def copy_file(source: Path, target: Path) -> None:
    """A copy that is not there yet, the owner's alone, forced to disk. Raises OSError."""
    with source.open("rb") as file, new_file(target) as out:
        shutil.copyfileobj(file, out, 1024 * 1024)
        out.flush()
        os.fsync(out.fileno())


def make_folder(folder: Path) -> None:
    """A folder below `files` of the data folder that is there after a crash as well, the owner's alone.

    Raises FileNotFoundError where the data folder itself is gone (a stick pulled out): making it anew would
    keep files on another disk, and nobody would find them.
    """
    if folder.exists():
        return
    if folder != Path(settings.MEDIA_ROOT):
        make_folder(folder.parent)
    folder.mkdir(mode=OWNER_FOLDER, exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Force a folder's own list of names to disk, where the system can (Windows can't)."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


class SizeLimit(FileUploadHandler):
    """Skip a file once it passes `UPLOAD_MAX_BYTES`; its name is kept on `request.too_large`.

    The form reads that list and says so beside the picture field; the other files go on.
    """

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.taken = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.taken += len(raw_data)
        if self.taken > settings.UPLOAD_MAX_BYTES:
            vars(self.request).setdefault("too_large", []).append(self.file_name)
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None
