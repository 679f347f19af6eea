"""The backup as one file: a BagIt bag in a streamed zip64, pictures stored as they are, memory flat.

What was written is read back by a second thread while the next file is copied, and compared with its digest;
the file gets its name only when all of it was. An end in the middle leaves nothing that looks like a backup.
"""

import hashlib
import os
import queue
import tempfile
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from django.conf import settings

from catalogue.access.startup.folder import INCOMING, free_bytes
from catalogue.access.startup.sqlite_copy import PART
from catalogue.common.kept_files import OWNER_FOLDER, digest_of, new_file, sync_folder
from catalogue.exchange.backup.contents import BackupContents, database_facts
from catalogue.exchange.backup.copying import CHUNK, NOT_WRITTEN, BackupError, Copier, Progress, why_not
from catalogue.exchange.backup.payload import DATABASE_PATH, FILES_PREFIX, PayloadFile, files_to_keep
from catalogue.exchange.backup.snapshot import take_snapshot
from catalogue.exchange.backup.tags import contents_of, tag_files

EARLIEST = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class WrittenBackup:
    """A backup that was written and read back whole."""

    path: Path
    contents: BackupContents
    files: int
    bytes: int


def write_backup(
    target: Path,
    *,
    progress: Progress = lambda done, of: None,
    stop: threading.Event | None = None,
) -> WrittenBackup:
    """Write everything that can't be made again to `target`, a zip that is not there yet.

    Raises BackupError where there is no room, the disk fails or `stop` is set.
    """
    if target.exists():
        raise BackupError(f"{target} is there already: choose another name, or move it away first.")
    part = target.with_name(f"{target.name}{PART}")
    try:
        part.unlink(missing_ok=True)
        with work_room() as beside:
            database = beside / "catalogue.sqlite3"
            take_snapshot(database)
            files = list(files_to_keep())
            check_room(target.parent, sum(file.length for file in files) + database.stat().st_size)
            with new_file(part) as out:
                written = _Writer(out, part, progress, stop).write(database, files)
                out.flush()
                os.fsync(out.fileno())
        _check_list(part, written.names)
        if target.exists():
            raise BackupError(f"{target} was made by something else meanwhile: choose another name.")
        os.replace(part, target)
        sync_folder(target.parent)
    except NOT_WRITTEN as error:
        raise BackupError(f"No backup was made ({why_not(error)}).") from error
    finally:
        part.unlink(missing_ok=True)
    return WrittenBackup(target, written.contents, len(files) + 1, written.payload_bytes)


@contextmanager
def work_room() -> Iterator[Path]:
    """A folder for what a backup makes on its way, on the catalogue's own disk; swept at the next start."""
    room = Path(settings.DATA_DIR) / INCOMING
    room.mkdir(mode=OWNER_FOLDER, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="backup-", dir=room) as made:
        yield Path(made)


def check_room(folder: Path, needed: int) -> None:
    """Raise BackupError where the disk of `folder` has no room for so many bytes and the list of them."""
    free = free_bytes(folder)
    # The list of files beside them: a few hundred bytes each.
    needed += needed // 100 + 1_000_000
    if free < needed:
        raise BackupError(
            f"The disk of {folder} has {free // 1_000_000} MB left and the backup needs "
            f"{-(-needed // 1_000_000)} MB: make room, or choose another disk."
        )


def _check_list(path: Path, names: list[str]) -> None:
    """Open what was written as others do, and compare the list at its end."""
    try:
        with zipfile.ZipFile(path) as archive:
            found = archive.namelist()
    except zipfile.BadZipFile as error:
        raise BackupError(f"What was written can't be opened ({error}): no backup was made.") from None
    if found != names:
        raise BackupError("What was written does not list what it should: no backup was made.")


@dataclass(slots=True)
class _Written:
    contents: BackupContents
    names: list[str]
    payload_bytes: int


class _Writer:
    """Writes one bag; used once."""

    def __init__(self, out: IO[bytes], place: Path, progress: Progress, stop: threading.Event | None) -> None:
        self.out = out
        self.copier = Copier(
            progress, stop, ended="The backup was ended before it was whole; nothing of it is left."
        )
        self.archive = zipfile.ZipFile(out, "w", zipfile.ZIP_STORED, allowZip64=True, strict_timestamps=False)
        self.reader = _Reader(place)
        self.made = datetime.now(UTC)
        self.top = f"siltmark-{self.made:%Y-%m-%d-%H%M%S}"
        self.digests: dict[str, str] = {}
        self.lengths: list[int] = []
        self.damaged: list[str] = []

    def write(self, database: Path, files: list[PayloadFile]) -> _Written:
        facts = database_facts(database)
        self.copier.total = database.stat().st_size + sum(file.length for file in files)
        with self.reader, self.archive:
            self._add(PayloadFile(DATABASE_PATH, database, database.stat().st_size), changes=False)
            for file in files:
                self._add(file, changes=True)
            self.reader.finish()
            self._compare(files)
            contents = contents_of(facts, self.made, set(self.digests), damaged=self.damaged)
            self._add_tag_files(contents)
        return _Written(contents, self.archive.namelist(), sum(self.lengths))

    def _add(self, file: PayloadFile, *, changes: bool) -> None:
        """Copy one file of the payload; one that the owner deleted meanwhile is passed over."""
        digest = file.digest
        running = None if digest else hashlib.sha256()
        try:
            source = file.place.open("rb")
        except FileNotFoundError:
            if not changes:
                raise
            return
        with source:
            begin, length = self._entry(file.path, self._digested(source, running), os.fstat(source.fileno()))
        self.digests[file.path] = digest or (running.hexdigest() if running else "")
        self.lengths.append(length)
        self.reader.look(file.path, begin, length, self.digests[file.path])

    def _digested(self, source: IO[bytes], running: "hashlib._Hash | None") -> Iterator[bytes]:
        for block in self.copier.blocks(source):
            if running is not None:
                running.update(block)
            yield block

    def _entry(self, path: str, blocks: Iterator[bytes], seen: os.stat_result | None) -> tuple[int, int]:
        """Write one entry; where its bytes begin in the zip, and how many there are."""
        when = datetime.fromtimestamp(seen.st_mtime, UTC) if seen else self.made
        entry = zipfile.ZipInfo(f"{self.top}/{path}", max(EARLIEST, when.timetuple()[:6]))
        entry.external_attr = 0o100600 << 16
        with self.archive.open(entry, "w", force_zip64=True) as there:
            begin = self.out.tell()
            for block in blocks:
                there.write(block)
            length = self.out.tell() - begin
        self.out.flush()
        return begin, length

    def _compare(self, files: list[PayloadFile]) -> None:
        """What was read back against what it should be: a file damaged on our own disk is kept as it is."""
        by_path = {file.path: file for file in files}
        for path, found in self.reader.differing.items():
            file = by_path.get(path)
            if file is None or digest_of(file.place) != found:
                raise BackupError("What was written reads otherwise than it should: the disk is not sound.")
            self.digests[path] = found
            self.damaged.append(path[len(FILES_PREFIX) :])

    def _add_tag_files(self, contents: BackupContents) -> None:
        for name, text in tag_files(contents, self.made, self.digests, self.lengths).items():
            begin, length = self._entry(name, iter([text.encode()]), None)
            self.reader.look_now(begin, text.encode(), length)


@dataclass(slots=True)
class _Reader:
    """Reads back what was written, in a thread of its own, and keeps the digests that differ."""

    place: Path
    differing: dict[str, str] = field(default_factory=dict)
    failed: BaseException | None = None
    waiting: "queue.Queue[tuple[str, int, int, str] | None]" = field(default_factory=queue.Queue)
    thread: threading.Thread | None = None

    def __enter__(self) -> "_Reader":
        self.thread = threading.Thread(target=self._run, daemon=True)
        self.thread.start()
        return self

    def __exit__(self, *ignored: object) -> None:
        if self.thread and self.thread.is_alive():
            self.waiting.put(None)
            self.thread.join()

    def look(self, path: str, begin: int, length: int, digest: str) -> None:
        """Have a stretch of the file read and compared."""
        self.waiting.put((path, begin, length, digest))

    def finish(self) -> None:
        """Wait until all was read. Raises what reading raised."""
        self.waiting.put(None)
        if self.thread:
            self.thread.join()
        if self.failed:
            raise self.failed

    def look_now(self, begin: int, text: bytes, length: int) -> None:
        """Compare a short stretch at once. Raises BackupError."""
        with self.place.open("rb") as file:
            file.seek(begin)
            if file.read(length) != text:
                raise BackupError("What was written reads otherwise than it should: the disk is not sound.")

    def _run(self) -> None:
        try:
            with self.place.open("rb", buffering=0) as file:
                while task := self.waiting.get():
                    path, begin, length, digest = task
                    found = _digest_of_stretch(file, begin, length)
                    if found != digest:
                        self.differing[path] = found
        except OSError as error:
            self.failed = error


def _digest_of_stretch(file: IO[bytes], begin: int, length: int) -> str:
    running, left = hashlib.sha256(), length
    file.seek(begin)
    while left and (block := file.read(min(CHUNK, left))):
        running.update(block)
        left -= len(block)
    return running.hexdigest()
