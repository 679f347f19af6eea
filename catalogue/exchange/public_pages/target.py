"""A folder or zip of pages that is there whole or not at all: written beside its name, then renamed.

What is there already is replaced only where it is pages of ours and holds nothing else.
"""

import json
import os
import shutil
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath
from typing import IO, cast

from django.conf import settings

from catalogue.exchange.backup.copying import why_not
from catalogue.exchange.backup.running import WorkRefused

# By it pages of ours are known; it lists the files that were written.
PAGES_LIST = "siltmark-pages.json"
UNFINISHED, EARLIER = ".unfinished", ".earlier"
# What a system's own window on the folder leaves there.
OF_THE_SYSTEM = {".DS_Store", "Thumbs.db", "desktop.ini"}
NOT_MADE = "The pages were not made"


class WrittenPages:
    """Takes files by name while pages are written; `bytes` and `names` are what was written so far."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.bytes = 0

    def write(self, name: str, content: bytes) -> None:
        """Write one file, its name with slashes. Raises OSError; ValueError where that leads elsewhere."""
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts:
            raise ValueError(f"{name!r} leads out of the folder")
        self._write(name, content)
        self.names.append(name)
        self.bytes += len(content)

    def write_list(self) -> None:
        """The list of all that was written: the last file."""
        self.write(PAGES_LIST, json.dumps({"files": [*self.names, PAGES_LIST]}, indent=0).encode())

    def _write(self, name: str, content: bytes) -> None:
        raise NotImplementedError


class _InFolder(WrittenPages):
    def __init__(self, root: Path) -> None:
        super().__init__()
        self.root = root
        # Also of what is not finished one sees whose it is.
        (root / PAGES_LIST).write_text(json.dumps({"files": []}), encoding="utf-8")

    def _write(self, name: str, content: bytes) -> None:
        place = self.root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(content)


class _InZip(WrittenPages):
    def __init__(self, archive: zipfile.ZipFile, top: str) -> None:
        super().__init__()
        self.archive, self.top = archive, top

    def _write(self, name: str, content: bytes) -> None:
        packed = zipfile.ZIP_STORED if name.endswith((".jpg", ".woff2")) else zipfile.ZIP_DEFLATED
        self.archive.writestr(f"{self.top}/{name}", content, packed)


class _Sink:
    """Takes what a zip writes, until it is sent on: it is never read back."""

    def __init__(self) -> None:
        self.waiting: list[bytes] = []

    def write(self, data: bytes) -> int:
        self.waiting.append(bytes(data))
        return len(data)

    def flush(self) -> None:
        """Nothing lies below it."""


class ZipOnItsWay(_InZip):
    """A zip that is sent while it is written, below one folder; one that was broken off does not open."""

    def __init__(self, top: str) -> None:
        self._sink = _Sink()
        super().__init__(zipfile.ZipFile(cast(IO[bytes], self._sink), "w"), top)

    def taken(self) -> bytes:
        """What was written since the last time."""
        taken, self._sink.waiting = b"".join(self._sink.waiting), []
        return taken

    def end(self) -> bytes:
        """Write the list of all and what a zip ends with; the rest of it."""
        self.write_list()
        self.archive.close()
        return self.taken()


def is_zip(target: Path) -> bool:
    """Whether pages written to that name are one zip."""
    return target.suffix.lower() == ".zip"


def why_refused(target: Path) -> str:
    """Why no pages can be written to that name, in a sentence; empty where they can."""
    if not target.is_absolute():
        return "Write the whole way to the folder or zip, from the root of the disk."
    if not target.name:
        return "Name a folder on the disk, not the whole disk."
    if not target.parent.is_dir():
        return f"There is no folder {target.parent} on this machine just now."
    if _touches_catalogue(target):
        return "That is within the catalogue's own folder, or around it: choose another place."
    if is_zip(target):
        return _zip_refused(target)
    if target.exists() and not target.is_dir():
        return f"{target} is a file: choose another name, or one that ends with .zip."
    return _folder_refused(target)


def _touches_catalogue(target: Path) -> bool:
    own, there = Path(settings.DATA_DIR).resolve(), target.resolve()
    return there == own or own in there.parents or there in own.parents


def _zip_refused(target: Path) -> str:
    other = f"{target} is there and holds no pages made here: choose another name."
    if target.is_dir():
        return f"{target} is a folder: choose another name."
    if not target.exists():
        return ""
    try:
        with zipfile.ZipFile(target) as archive:
            return "" if f"{target.stem}/{PAGES_LIST}" in archive.namelist() else other
    except (OSError, ValueError, NotImplementedError, zipfile.BadZipFile):
        return other


def _folder_refused(folder: Path) -> str:
    """Empty for one that is not there, is empty, or holds pages of ours and nothing else."""
    if not folder.exists():
        return ""
    found = {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if not path.is_dir() and path.name not in OF_THE_SYSTEM
    }
    if not found:
        return ""
    listed = _listed(folder)
    if listed is None:
        return f"{folder} is there and holds no pages made here: choose another name, or an empty folder."
    if other := sorted(found - listed):
        return (
            f"{folder} also holds what was not made here (such as {other[0]}), which would be lost: "
            "move that away, or choose another name."
        )
    return ""


def _listed(folder: Path) -> set[str] | None:
    """The files that our list in the folder names; None where it has none."""
    try:
        files = json.loads((folder / PAGES_LIST).read_text(encoding="utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return {str(name) for name in files} if isinstance(files, list) else None


@contextmanager
def pages_written_to(target: Path) -> Iterator[WrittenPages]:
    """Takes the files of the pages; what was at `target` is replaced when all of them are written.

    Raises WorkRefused where they can't be written there, or the disk fails; nothing half is left then.
    """
    if why := why_refused(target):
        raise WorkRefused(why)
    begun = target.with_name(target.name + UNFINISHED)
    _put_in_order(target, begun)
    try:
        if is_zip(target):
            with zipfile.ZipFile(begun, "w") as archive:
                written: WrittenPages = _InZip(archive, target.stem)
                yield written
                written.write_list()
            os.replace(begun, target)
        else:
            begun.mkdir()
            written = _InFolder(begun)
            yield written
            written.write_list()
            _swap(begun, target)
    except OSError as error:
        raise WorkRefused(
            f"{NOT_MADE} ({why_not(error)}), and nothing of them is left: make room on that disk, or choose "
            "another."
        ) from error
    finally:
        _take_away(begun)


def _put_in_order(target: Path, begun: Path) -> None:
    """After a run that was cut off: take away what it had begun, put back what it had moved aside."""
    if begun.exists() and not (is_zip(target) if begun.is_file() else _listed(begun) is not None):
        raise WorkRefused(f"{begun} is in the way and was not made here: move it away.")
    _take_away(begun)
    earlier = target.with_name(target.name + EARLIER)
    if earlier.is_dir() and _listed(earlier) is not None:
        if target.exists():
            shutil.rmtree(earlier)
        else:
            earlier.rename(target)


def _swap(begun: Path, target: Path) -> None:
    """The new folder in the place of the one there: but for an instant one of the two has the name."""
    earlier = target.with_name(target.name + EARLIER)
    if target.exists():
        target.rename(earlier)
    try:
        begun.rename(target)
    except OSError:
        if earlier.exists():
            earlier.rename(target)
        raise
    shutil.rmtree(earlier, ignore_errors=True)


def _take_away(begun: Path) -> None:
    if begun.is_dir():
        shutil.rmtree(begun, ignore_errors=True)
    else:
        with suppress(OSError):
            begun.unlink(missing_ok=True)
