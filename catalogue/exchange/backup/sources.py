"""A bag's files, from a zip or from a folder: their list, proven harmless, before a byte of them is used."""

import stat
import struct
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Protocol

from catalogue.exchange.backup.bagit import BagError, check_path, folded
from catalogue.exchange.backup.day_folder import is_day, listed, stored_below

# Fifty times what a catalogue of a hundred thousand finds has.
MOST_FILES = 20_000_000
# Text of a database shrinks ten times at most; a zip bomb a thousand times.
MOST_SHRUNK = 200
SMALL_BYTES = 10_000_000
# Of the header before each file: its length without name and extra field, and where it has theirs.
LOCAL_HEADER_BYTES, LOCAL_LENGTHS_AT = 30, 26
STORED_KINDS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
ENCRYPTED_BIT = 0x1


@dataclass(frozen=True, slots=True)
class PlainStretch:
    """Where a file's bytes lie as they are: in which file, from which byte, how many; the CRC-32 said."""

    place: Path
    begin: int
    length: int
    crc: int | None


class BagSource(Protocol):
    """Files of one bag by their path from its root, with their lengths in bytes."""

    lengths: dict[str, int]

    def stretch(self, path: str) -> PlainStretch | None:
        """Where one file's bytes lie; None where they are packed. Raises BagError, OSError."""
        ...

    def stream(self, path: str) -> IO[bytes]:
        """One file's bytes. Raises BagError where it can't be read."""
        ...


@dataclass(slots=True)
class FolderSource:
    """A bag that lies in a folder."""

    root: Path
    lengths: dict[str, int]

    def stretch(self, path: str) -> PlainStretch | None:
        return PlainStretch(stored_below(self.root, path), 0, self.lengths[path], None)

    def stream(self, path: str) -> IO[bytes]:
        try:
            return stored_below(self.root, path).open("rb")
        except OSError as error:
            raise BagError(f"its file {path} can't be read ({error.strerror})") from None


@dataclass(slots=True)
class ZipSource:
    """A bag within one zip, under a top folder of its own."""

    archive: zipfile.ZipFile
    place: Path
    top: str
    lengths: dict[str, int]

    def stretch(self, path: str) -> PlainStretch | None:
        entry = self.archive.getinfo(f"{self.top}/{path}")
        if entry.compress_type != zipfile.ZIP_STORED:
            return None
        with self.stream(path), self.place.open("rb") as file:
            # Opened, its own header was compared with the list; how long that one is only it says.
            file.seek(entry.header_offset + LOCAL_LENGTHS_AT)
            name, extra = struct.unpack("<2H", file.read(4))
        begin = entry.header_offset + LOCAL_HEADER_BYTES + name + extra
        return PlainStretch(self.place, begin, entry.file_size, entry.CRC)

    def stream(self, path: str) -> IO[bytes]:
        try:
            return self.archive.open(f"{self.top}/{path}")
        except (zipfile.BadZipFile, OSError, NotImplementedError, RuntimeError) as error:
            raise BagError(f"its file {path} can't be read ({error})") from None


@contextmanager
def open_source(path: Path) -> Iterator[BagSource]:
    """A backup opened, its list of files looked through. Raises BagError with what speaks against it."""
    if path.is_dir():
        yield _folder(path)
        return
    try:
        archive = zipfile.ZipFile(path)
    except FileNotFoundError:
        raise BagError("it is not there") from None
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        raise BagError(f"it is no zip, or its end is missing ({error})") from None
    with archive:
        yield _zip(archive, path)


def _folder(root: Path) -> FolderSource:
    """A bag's folder; of a day among others, with what its manifest lists of the store they share."""
    lengths: dict[str, int] = {}
    seen: set[str] = set()
    for place in root.rglob("*"):
        path = place.relative_to(root).as_posix()
        mode = place.lstat().st_mode
        if stat.S_ISDIR(mode):
            continue
        if not stat.S_ISREG(mode):
            raise BagError(f"its file {path} is a link, or no plain file")
        _take(path, place.lstat().st_size, lengths, seen)
    if is_day(root):
        for path in _listed(root):
            if (
                path not in lengths
                and (where := stored_below(root, path)).is_file()
                and not where.is_symlink()
            ):
                _take(path, where.stat().st_size, lengths, seen)
    return FolderSource(root, lengths)


def _listed(day: Path) -> dict[str, str]:
    try:
        return listed(day)
    except OSError as error:
        raise BagError(f"its list of files can't be read ({error.strerror})") from None


def _zip(archive: zipfile.ZipFile, place: Path) -> ZipSource:
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    if not entries:
        raise BagError("it holds no file")
    if len(entries) > MOST_FILES:
        raise BagError(f"it holds more than {MOST_FILES:,} files")
    tops = {entry.filename.split("/", 1)[0] for entry in entries if "/" in entry.filename}
    if len(tops) != 1 or any("/" not in entry.filename for entry in entries):
        raise BagError("its files don't lie in one folder")
    top = tops.pop()
    check_path(top)
    _check_stretches(archive, entries)
    lengths: dict[str, int] = {}
    seen: set[str] = set()
    for entry in entries:
        path = entry.filename[len(top) + 1 :]
        _check_entry(entry, path)
        _take(path, entry.file_size, lengths, seen)
    return ZipSource(archive, place, top, lengths)


def _take(path: str, length: int, lengths: dict[str, int], seen: set[str]) -> None:
    check_path(path)
    if (alike := folded(path)) in seen:
        raise BagError(f"it holds {path} twice")
    seen.add(alike)
    lengths[path] = length


def _check_entry(entry: zipfile.ZipInfo, path: str) -> None:
    """Raise BagError for an entry that no backup has."""
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        raise BagError(f"its file {path[:80]} is a link, or no plain file")
    if entry.flag_bits & ENCRYPTED_BIT:
        raise BagError(f"its file {path[:80]} is locked with a password of the zip's own")
    if entry.compress_type not in STORED_KINDS:
        raise BagError(f"its file {path[:80]} is packed in a way that is not used here")
    shrunk = entry.file_size > SMALL_BYTES and entry.file_size > MOST_SHRUNK * entry.compress_size
    if shrunk or (entry.compress_type == zipfile.ZIP_STORED and entry.file_size != entry.compress_size):
        raise BagError(f"its file {path[:80]} would unpack to far more than it holds (a zip bomb)")


def _check_stretches(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> None:
    """Raise BagError where two entries share bytes of the zip, as those of a zip bomb do."""
    end = archive.start_dir
    for entry in sorted(entries, key=lambda each: each.header_offset, reverse=True):
        if entry.header_offset + LOCAL_HEADER_BYTES + entry.compress_size > end:
            raise BagError("files in it lie over each other (a zip bomb, or a damaged list)")
        end = entry.header_offset
