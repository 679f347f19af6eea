"""Incremental backup: a folder of days, each a whole catalogue, that share one store of what never changes.

::

    siltmark-backups/
      store/originals/ab/<SHA-256>.jpg     copied once, whichever days have it
      days/2026-11-29-131500/              BagIt tag files, the database, and what changes from day to day

A day is written beside the others and gets its name when all of it is on disk and was read back, by threads
beside the one that copies, so that an end in the middle leaves the days before as they were. A day's manifest
lists the files of the store as if they lay in it: copied there they make it a bag.
"""

import hashlib
import os
import shutil
import threading
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from django.conf import settings

from catalogue.access.startup.sqlite_copy import PART
from catalogue.common.kept_files import OWNER_FOLDER, digest_of, digest_on_disk, new_file, sync_folder
from catalogue.exchange.backup.archive import NOT_SOUND, WrittenBackup, check_room
from catalogue.exchange.backup.beside import Beside, ReadBack
from catalogue.exchange.backup.contents import database_facts
from catalogue.exchange.backup.copying import NOT_WRITTEN, BackupError, Copier, Progress, why_not
from catalogue.exchange.backup.day_folder import BACKUP_ROOM, DAYS, STORE, days_in, listed, stored_below
from catalogue.exchange.backup.payload import DATABASE_PATH, FILES_PREFIX, PayloadFile, files_to_keep
from catalogue.exchange.backup.snapshot import take_snapshot
from catalogue.exchange.backup.tags import contents_of, tag_files


@dataclass(frozen=True, slots=True)
class StoreCheck:
    """What a look through the store found: paths that are missing, or not what their digest says."""

    looked_at: int
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        return not self.missing and not self.damaged


def refusal(place: Path) -> str:
    """Why backups can't go to a folder, in a sentence; empty where they can."""
    data = Path(settings.DATA_DIR).resolve()
    if not place.is_absolute():
        return "Write the whole way to the folder, from the root of the disk."
    if not place.is_dir():
        return "There is no such folder on this machine just now: plug the disk in, or make the folder."
    if place.resolve().is_relative_to(data) or data.is_relative_to(place.resolve() / BACKUP_ROOM):
        return "That is within the catalogue's own folder: what takes one would take both."
    if not os.access(place, os.W_OK):
        return "That folder can't be written: choose another, or give yourself the right to."
    return ""


def back_up_day(
    place: Path,
    *,
    keep: int,
    progress: Progress = lambda done, of: None,
    stop: threading.Event | None = None,
) -> WrittenBackup:
    """Write today's state to a folder of backups, copying only what is new, and let go of days past `keep`.

    Raises BackupError where the folder can't be used, there is no room, or `stop` is set.
    """
    if why := refusal(place):
        raise BackupError(f"No backup was made: {why}")
    try:
        return _Day(place / BACKUP_ROOM, progress, stop).write(keep)
    except NOT_WRITTEN as error:
        raise BackupError(f"No backup was made ({why_not(error)}).") from error


def check_store(place: Path, *, thoroughly: bool, stop: threading.Event | None = None) -> StoreCheck:
    """Look whether what the days list is in the store: by name and size, or by every byte. Raises OSError."""
    found = StoreCheck(looked_at=0)
    looked: dict[str, str] = {}
    for day in days_in(place):
        for path, digest in listed(day).items():
            if path in looked or stored_below(day, path).is_relative_to(day):
                continue
            looked[path] = digest
            where = stored_below(day, path)
            if stop and stop.is_set():
                break
            if not where.is_file():
                found.missing.append(path)
            elif thoroughly and digest_on_disk(where) != digest:
                found.damaged.append(path)
    return StoreCheck(len(looked), found.missing, found.damaged)


class _Day:
    """Writes one day; used once."""

    def __init__(self, room: Path, progress: Progress, stop: threading.Event | None) -> None:
        self.store, self.days = room / STORE, room / DAYS
        self.copier = Copier(
            progress,
            stop,
            ended="The backup was ended before it was whole; the days before are as they were.",
        )
        self.made = datetime.now(UTC)
        self.part = self.days / f"{self.made:%Y-%m-%d-%H%M%S}{PART}"
        self.digests: dict[str, str] = {}
        self.lengths: list[int] = []
        self.damaged: list[str] = []
        self.beside = Beside()
        self.unnamed: set[Path] = set()
        self.folders: set[Path] = set()

    def write(self, keep: int) -> WrittenBackup:
        for folder in (self.store, self.days):
            folder.mkdir(mode=OWNER_FOLDER, parents=True, exist_ok=True)
        for left in self.days.glob(f"*{PART}"):
            shutil.rmtree(left, ignore_errors=True)
        try:
            database = self.part / DATABASE_PATH
            database.parent.mkdir(mode=OWNER_FOLDER, parents=True)
            take_snapshot(database)
            files = list(files_to_keep())
            fresh = [file for file in files if not self._is_stored(file)]
            self.copier.total = sum(file.length for file in fresh)
            check_room(self.days, self.copier.total)
            self._note(DATABASE_PATH, digest_of(database), database.stat().st_size)
            fresh_paths = {file.path for file in fresh}
            with self.beside:
                for file in files:
                    self._keep(file, new=file.path in fresh_paths)
                self.beside.finish()
            contents = contents_of(
                database_facts(database), self.made, set(self.digests), damaged=self.damaged
            )
            for name, text in tag_files(contents, self.made, self.digests, self.lengths).items():
                with new_file(self.part / name) as out:
                    out.write(text.encode())
                    out.flush()
                    os.fsync(out.fileno())
            own = {self.part, *(path for path in self.part.rglob("*") if path.is_dir())}
            for folder in self.folders | own | {self.store}:
                sync_folder(folder)
            day = self.part.with_name(self.part.name.removesuffix(PART))
            os.replace(self.part, day)
            sync_folder(self.days)
        finally:
            for left in self.unnamed:
                left.unlink(missing_ok=True)
            shutil.rmtree(self.part, ignore_errors=True)
        let_go(self.days.parent, keep)
        return WrittenBackup(day, contents, len(self.digests), sum(self.lengths))

    def _is_stored(self, file: PayloadFile) -> bool:
        """Whether a file that never changes is in the store with its full size."""
        if file.digest is None:
            return False
        try:
            return self._in_store(file).stat().st_size == file.length
        except OSError:
            return False

    def _in_store(self, file: PayloadFile) -> Path:
        return self.store / file.path.removeprefix(FILES_PREFIX)

    def _note(self, path: str, digest: str, length: int) -> None:
        self.digests[path] = digest
        self.lengths.append(length)

    def _keep(self, file: PayloadFile, *, new: bool) -> None:
        if not new and file.digest:
            self._note(file.path, file.digest, file.length)
            return
        target = self._in_store(file) if file.digest else self.part / file.path
        self._make(target.parent)
        part = target.with_name(f"{target.name}{PART}")
        part.unlink(missing_ok=True)
        self.unnamed.add(part)
        try:
            copied = self._copy(file, part)
        except FileNotFoundError:
            # Deleted on the owner's word since the list was made.
            return
        self.beside.look(part, partial(self._name, file, part, copied))

    def _copy(self, file: PayloadFile, part: Path) -> tuple[str, int]:
        """Copy one file; the digest that it must have when it is read back, and its length."""
        with file.place.open("rb", buffering=0) as source, new_file(part) as out:
            if file.digest:
                return file.digest, self.copier.copy(source, out)
            # No digest is on record: it is taken of what is read, before anything is written.
            running, length = hashlib.sha256(), 0
            for block in self.copier.blocks(source):
                running.update(block)
                length += out.write(block)
            return running.hexdigest(), length

    def _name(self, file: PayloadFile, part: Path, copied: tuple[str, int], found: ReadBack) -> None:
        """Give a copy its name, now that it is on disk and was read back. Raises BackupError."""
        digest, length = copied
        if found.length != length:
            raise BackupError(NOT_SOUND)
        target = part.with_name(part.name.removesuffix(PART))
        if found.digest != digest:
            if file.digest is None or digest_of(file.place) != found.digest:
                raise BackupError(NOT_SOUND)
            # Damaged on our own disk: kept with this day, never in the store under a wrong name.
            target = self.part / file.path
            self._make(target.parent)
            self.damaged.append(file.path.removeprefix(FILES_PREFIX))
        os.replace(part, target)
        self.unnamed.discard(part)
        self._note(file.path, found.digest, length)

    def _make(self, folder: Path) -> None:
        """A folder on the way, whose list of names is forced to disk before the day gets its own."""
        if folder not in self.folders:
            folder.mkdir(mode=OWNER_FOLDER, parents=True, exist_ok=True)
            self.folders |= {folder, folder.parent}


def let_go(room: Path, keep: int) -> None:
    """Remove days past the last `keep` days, of one day all but its last, then what no day lists any more."""
    days = days_in(room.parent)
    last_of: dict[str, Path] = {day.name[:10]: day for day in days}
    kept = {last_of[name] for name in sorted(last_of)[-keep:]}
    gone = [day for day in days if day not in kept]
    for day in gone:
        shutil.rmtree(day)
    if not gone:
        return
    wanted = {path.removeprefix(FILES_PREFIX) for day in days_in(room.parent) for path in listed(day)}
    store = room / STORE
    for place in store.rglob("*"):
        if place.is_file() and place.relative_to(store).as_posix() not in wanted:
            place.unlink()
