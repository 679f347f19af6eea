"""The backup as one file: a BagIt bag in a streamed zip64, pictures stored as they are, memory flat.

What was written is read back from the disk by other threads while more is copied, and compared with its
digest; the file gets its name only when all of it was. An end in the middle leaves nothing that looks like a
backup.
"""

import hashlib
import os
import tempfile
import threading
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import IO

from django.conf import settings

from catalogue.access.startup.folder import INCOMING, free_bytes
from catalogue.access.startup.sqlite_copy import PART
from catalogue.common.kept_files import OWNER_FOLDER, digest_of, new_file, sync_folder
from catalogue.exchange.backup.beside import Beside, ReadBack
from catalogue.exchange.backup.contents import BackupContents, database_facts
from catalogue.exchange.backup.copying import NOT_WRITTEN, BackupError, Copier, Progress, why_not
from catalogue.exchange.backup.payload import DATABASE_PATH, FILES_PREFIX, PayloadFile, files_to_keep
from catalogue.exchange.backup.snapshot import take_snapshot
from catalogue.exchange.backup.stored_zip import StoredZip, ZipEntry
from catalogue.exchange.backup.tags import contents_of, tag_files

NOT_SOUND = "What was written reads otherwise than it should: the disk is not sound."


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
        _check_list(part, written.entries)
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


def _check_list(path: Path, entries: list[ZipEntry]) -> None:
    """Open what was written as others do: its list, and the header of each file. Raises BackupError."""
    try:
        with zipfile.ZipFile(path) as archive, path.open("rb") as file:
            found = archive.infolist()
            headers = []
            for entry in entries:
                file.seek(entry.at)
                headers.append(file.read(entry.begin - entry.at) == entry.header())
    except zipfile.BadZipFile as error:
        raise BackupError(f"What was written can't be opened ({error}): no backup was made.") from None
    listed = [(each.filename, each.header_offset, each.file_size, each.CRC) for each in found]
    wanted = [(each.name.decode(), each.at, each.length, each.crc) for each in entries]
    if listed != wanted or not all(headers):
        raise BackupError("What was written does not list what it should: no backup was made.")


@dataclass(slots=True)
class _Written:
    contents: BackupContents
    entries: list[ZipEntry]
    payload_bytes: int


class _Writer:
    """Writes one bag; used once."""

    def __init__(self, out: IO[bytes], place: Path, progress: Progress, stop: threading.Event | None) -> None:
        self.out, self.place = out, place
        self.copier = Copier(
            progress, stop, ended="The backup was ended before it was whole; nothing of it is left."
        )
        self.archive, self.beside = StoredZip(out), Beside()
        self.made = datetime.now(UTC)
        self.top = f"siltmark-{self.made:%Y-%m-%d-%H%M%S}"
        self.digests: dict[str, str] = {}
        self.lengths: list[int] = []
        self.damaged: list[str] = []

    def write(self, database: Path, files: list[PayloadFile]) -> _Written:
        facts = database_facts(database)
        self.copier.total = database.stat().st_size + sum(file.length for file in files)
        with self.beside:
            self._add(PayloadFile(DATABASE_PATH, database, database.stat().st_size), changes=False)
            for file in files:
                self._add(file, changes=True)
            self.beside.finish()
            contents = contents_of(facts, self.made, set(self.digests), damaged=self.damaged)
            self._add_tag_files(contents)
            self.beside.finish()
        self.archive.finish()
        return _Written(contents, self.archive.entries, sum(self.lengths))

    def _add(self, file: PayloadFile, *, changes: bool) -> None:
        """Copy one file of the payload; one that the owner deleted meanwhile is passed over."""
        try:
            source = file.place.open("rb", buffering=0)
        except FileNotFoundError:
            if not changes:
                raise
            return
        with source:
            seen = datetime.fromtimestamp(os.fstat(source.fileno()).st_mtime, UTC)
            entry = self.archive.begin(f"{self.top}/{file.path}", seen)
            if file.digest:
                entry.length, digest = self.copier.copy(source, self.out), file.digest
            else:
                # No digest is on record: it is taken of what is read, before anything is written.
                entry.length, digest = self._hashed(source)
        self.digests[file.path] = digest
        self.lengths.append(entry.length)
        self._look(entry, partial(self._compare, file, digest))

    def _hashed(self, source: IO[bytes]) -> tuple[int, str]:
        running, length = hashlib.sha256(), 0
        for block in self.copier.blocks(source):
            running.update(block)
            length += self.out.write(block)
        return length, running.hexdigest()

    def _look(self, entry: ZipEntry, then: Callable[[ReadBack], None]) -> None:
        """Have one entry read back; it gets the checksum of what is there."""

        def told(found: ReadBack) -> None:
            if found.length != entry.length:
                raise BackupError(NOT_SOUND)
            entry.crc = found.crc
            then(found)

        self.out.flush()
        self.beside.look(self.place, told, begin=entry.begin, length=entry.length)

    def _compare(self, file: PayloadFile, digest: str, found: ReadBack) -> None:
        """What was read back against what it should be: a file damaged on our own disk is kept as it is."""
        if found.digest == digest:
            return
        if file.digest is None or digest_of(file.place) != found.digest:
            raise BackupError(NOT_SOUND)
        self.digests[file.path] = found.digest
        self.damaged.append(file.path[len(FILES_PREFIX) :])

    def _add_tag_files(self, contents: BackupContents) -> None:
        for name, text in tag_files(contents, self.made, self.digests, self.lengths).items():
            content = text.encode()
            entry = self.archive.begin(f"{self.top}/{name}", self.made)
            entry.length = self.out.write(content)
            digest = hashlib.sha256(content).hexdigest()
            self._look(entry, partial(_check_same_digest, digest))


def _check_same_digest(digest: str, found: ReadBack) -> None:
    if found.digest != digest:
        raise BackupError(NOT_SOUND)
