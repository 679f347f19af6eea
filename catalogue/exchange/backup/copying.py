"""Copying for a backup: in large blocks, with progress told, ended between two of them on request."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from typing import IO

from django.db import DatabaseError

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
    """Reads the files of one backup; `total` is how many bytes it will have read of all of them."""

    def __init__(self, progress: Progress, stop: threading.Event | None, *, ended: str) -> None:
        self.progress, self.stop, self.ended = progress, stop or threading.Event(), ended
        self.done = self.total = 0

    def blocks(self, source: IO[bytes]) -> Iterator[bytes]:
        """One file, block by block. Raises Interrupted with the sentence `ended`."""
        while block := source.read(CHUNK):
            if self.stop.is_set():
                raise Interrupted(self.ended)
            yield block
            self.done += len(block)
            self.progress(min(self.done, self.total), self.total)
