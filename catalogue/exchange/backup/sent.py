"""A backup that a browser sends, taken part by part into the catalogue's own room for what arrives.

Parts, because a request is held whole by the server before a page of ours sees it: one of five gigabytes
would lie on the disk twice. One backup arrives at a time; a part that comes again is not written twice. What
was cut off is swept, by the background within minutes and by the next start at once; so is what was restored.
"""

import os
import secrets
import shutil
import threading
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from django.conf import settings

from catalogue.access.startup.folder import INCOMING, free_bytes
from catalogue.common.kept_files import OWNER_FOLDER, new_file, sync_folder
from catalogue.exchange.backup.copying import CHUNK
from catalogue.exchange.backup.restore import RESTORE_ROOM_BYTES

SENT_PREFIX = "sent-"
# Ours: no name from a browser reaches the disk.
PART_FILE, WHOLE_FILE = "sent.zip.part", "sent.zip"
PART_BYTES = 8 * 1024 * 1024
LONGEST_SENT = 2**50
ZIP_BEGINS = b"PK"
# A line that broke is tried again for longer than a minute; a whole one waits for its password for a day.
PART_FORGOTTEN_S, WHOLE_FORGOTTEN_S = 900, 24 * 3600
SWEEP_EVERY_S = 300.0

_writing = threading.Lock()


class Arriving(Protocol):
    """What a part is read from."""

    def read(self, size: int, /) -> bytes: ...


class SentRefused(Exception):
    """It can't be taken; nothing of it stays, and the message says why and what to do."""


class OutOfStep(Exception):
    """Another part was expected: the one that begins at byte `at`."""

    def __init__(self, at: int) -> None:
        super().__init__(f"The part that begins at {at} comes next.")
        self.at = at


@dataclass(frozen=True, slots=True)
class SentBackup:
    """One that arrives or is there: `token` names it, `bytes` are there of `of`."""

    token: str
    bytes: int
    of: int
    path: Path

    @property
    def is_whole(self) -> bool:
        """Whether all of it is there."""
        return self.path.name == WHOLE_FILE


def begin_sent(length: int) -> SentBackup:
    """Make room for a backup of so many bytes; an earlier one that was sent goes. Raises SentRefused.

    Its disk is asked first for room: for the backup, and for what is unpacked from it.
    """
    if not 0 < length <= LONGEST_SENT:
        raise SentRefused("That file is empty, or too large for any backup.")
    with _writing:
        for place in _places():
            shutil.rmtree(place, ignore_errors=True)
        folder = Path(settings.DATA_DIR)
        needed, free = 2 * length + RESTORE_ROOM_BYTES, free_bytes(folder)
        if free < needed:
            raise SentRefused(
                f"The disk of {folder} has {free // 1_000_000} MB left, and this needs "
                f"{-(-needed // 1_000_000)} MB: once for the backup, once for what is in it. Make room first."
            )
        token = secrets.token_hex(16)
        place = _place(token)
        place.mkdir(mode=OWNER_FOLDER, parents=True)
        with new_file(place / PART_FILE):
            pass
        (place / str(length)).touch()
    return SentBackup(token, 0, length, place / PART_FILE)


def take_part(token: str, at: int, arriving: Arriving) -> SentBackup:
    """Write the part that begins at byte `at`, whole or not at all. Raises SentRefused, OutOfStep."""
    with _writing:
        sent = sent_backup(token)
        if sent is None:
            raise SentRefused("This is not on its way any more: choose the file again.")
        if sent.is_whole or at != sent.bytes:
            raise OutOfStep(sent.bytes)
        try:
            length = _write(sent, arriving)
        except OSError as error:
            _drop(token)
            said = (error.strerror or str(error)).lower()
            raise SentRefused(f"The disk did not take it ({said}). Nothing of it is kept.") from None
        if sent.bytes + length == sent.of:
            os.replace(sent.path, sent.path.with_name(WHOLE_FILE))
            sync_folder(sent.path.parent)
    now = sent_backup(token)
    assert now is not None
    return now


def take_whole(length: int, arriving: Arriving) -> Path:
    """One that came at once, with its form. Raises SentRefused, with nothing kept."""
    sent = begin_sent(length)
    try:
        while not sent.is_whole:
            before = sent.bytes
            sent = take_part(sent.token, sent.bytes, _Limited(arriving, min(PART_BYTES, length - sent.bytes)))
            if sent.bytes == before:
                raise SentRefused("Less arrived than was said: choose the file again.")
    except (SentRefused, OutOfStep):
        drop_sent(sent.token)
        raise SentRefused("This is no backup of this program: it is not a zip.") from None
    return sent.path


class _Limited:
    """So many bytes of a file."""

    def __init__(self, file: Arriving, length: int) -> None:
        self.file, self.left = file, length

    def read(self, size: int, /) -> bytes:
        block = self.file.read(min(size, self.left))
        self.left -= len(block)
        return block


def _write(sent: SentBackup, arriving: Arriving) -> int:
    """How many bytes came. The file is as it was where this raises."""
    length = 0
    with sent.path.open("r+b") as out:
        try:
            out.seek(sent.bytes)
            while block := arriving.read(CHUNK):
                if not (sent.bytes + length) and not block.startswith(ZIP_BEGINS):
                    raise SentRefused("This is no backup of this program: it is not a zip.")
                length += len(block)
                if length > PART_BYTES or sent.bytes + length > sent.of:
                    raise SentRefused("More arrived than was said: choose the file again.")
                out.write(block)
            out.flush()
            os.fsync(out.fileno())
        except (SentRefused, OSError):
            with suppress(OSError):
                out.truncate(sent.bytes)
            raise
    return length


def sent_backup(token: str) -> SentBackup | None:
    """The one of that token; None where there is none."""
    place = _place(token)
    for name in (WHOLE_FILE, PART_FILE):
        path = place / name
        with suppress(OSError, StopIteration):
            of = next(int(each.name) for each in place.iterdir() if each.name.isdigit())
            return SentBackup(token, path.stat().st_size, of, path)
    return None


def whole_ones() -> list[Path]:
    """What was sent whole and not restored yet: one at most."""
    return [place / WHOLE_FILE for place in _places() if (place / WHOLE_FILE).is_file()]


def drop_sent(token: str) -> bool:
    """Take it away, part or whole; whether there was any."""
    with _writing:
        return _drop(token)


def drop_restored(path: Path) -> None:
    """Take away a sent backup that is not needed any more; any other file stays where it is."""
    if path in whole_ones():
        drop_sent(path.parent.name.removeprefix(SENT_PREFIX))


def sweep_sent(now: float | None = None) -> None:
    """Take away parts that nobody went on with, and whole ones that nobody restored."""
    now = time.time() if now is None else now
    with _writing:
        for place in _places():
            whole, part = place / WHOLE_FILE, place / PART_FILE
            with suppress(OSError):
                age = now - (whole if whole.exists() else part if part.exists() else place).stat().st_mtime
                # A clock that was set back must not keep it for ever.
                if not 0 <= age <= (WHOLE_FORGOTTEN_S if whole.exists() else PART_FORGOTTEN_S):
                    shutil.rmtree(place, ignore_errors=True)


def keep_sweeping(stop: threading.Event) -> None:
    """The background work."""
    while not stop.wait(SWEEP_EVERY_S):
        sweep_sent()


def _drop(token: str) -> bool:
    place = _place(token)
    there = place.is_dir()
    shutil.rmtree(place, ignore_errors=True)
    return there


def _place(token: str) -> Path:
    if not (len(token) == 32 and token.isascii() and token.isalnum()):
        token = "none"
    return Path(settings.DATA_DIR) / INCOMING / f"{SENT_PREFIX}{token}"


def _places() -> list[Path]:
    return sorted((Path(settings.DATA_DIR) / INCOMING).glob(f"{SENT_PREFIX}*"))
