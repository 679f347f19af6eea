"""Copying for a backup: in large blocks, with progress told, ended between two of them on request."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from io import FileIO
from typing import IO

from django.db import DatabaseError

from catalogue.common.kept_files import let_go_of

CHUNK = 1024 * 1024
# Bytes done, bytes in all.
Progress = Callable[[int, int], None]


class BackupError(Exception):
    """No backup was made, and nothing of it is left; the message says why and what to do."""


class Interrupted(BackupError):
    """Somebody asked it to end."""


# What a disk, the copied database or its server raise.
NOT_WRITTEN = (OSError, sqlite3.Error, DatabaseError)


def why_not(error: BaseException) -> str:
    """The system's own words of such an error, for the middle of a sentence."""
    return " ".join(str(getattr(error, "strerror", None) or error).lower().split())


class Copier:
    """Copies the files of one backup or restore; `total` is how many bytes of all of them."""

    def __init__(self, progress: Progress, stop: threading.Event | None, *, ended: str) -> None:
        self.progress, self.stop, self.ended = progress, stop or threading.Event(), ended
        self.done = self.total = 0
        self.block = memoryview(bytearray(CHUNK))

    def blocks(self, source: IO[bytes]) -> Iterator[bytes]:
        """One file, block by block. Raises Interrupted with the sentence `ended`."""
        while block := source.read(CHUNK):
            self._go_on()
            yield block
            self._tell(len(block))

    def copy(self, source: FileIO, out: IO[bytes], *, begin: int = 0, length: int | None = None) -> int:
        """Copy a file from byte `begin`, to its end or so many bytes, to where `out` stands; how many.

        Its bytes are looked at by nobody on the way: whoever asks for this reads back what was written. One
        block of memory is used for all of them, which is quicker than what the system does by itself
        (`sendfile`). Raises OSError, Interrupted.
        """
        source.seek(begin)
        copied = 0
        while took := source.readinto(self.block if length is None else self.block[: length - copied]):
            self._go_on()
            out.write(self.block[:took])
            copied += took
            self._tell(took)
        let_go_of(source, begin, copied)
        return copied

    def _go_on(self) -> None:
        if self.stop.is_set():
            raise Interrupted(self.ended)

    def _tell(self, length: int) -> None:
        self.done += length
        self.progress(min(self.done, self.total), self.total)
