"""Beside the copying: threads that read back what was written, and force it to disk, while more is copied.

Digests, checksums and the disk all work without Python's lock, so two threads do twice as much.
"""

import hashlib
import os
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

from catalogue.exchange.backup.checksum import crc32

READING_THREADS, SYNCING_THREADS = 2, 2
# Waiting for longer would only fill memory with names.
MOST_WAITING = 256
# Small enough to be hashed while it is still near the processor.
BLOCK = 256 * 1024


class ReadBack(NamedTuple):
    """What a stretch of a file has: its SHA-256, its CRC-32, how many bytes."""

    digest: str
    crc: int
    length: int


Then = Callable[[ReadBack], None]


class _Waiting(NamedTuple):
    reading: "Future[ReadBack] | None"
    syncing: "Future[None] | None"
    then: Then | None

    @property
    def done(self) -> bool:
        return all(future.done() for future in (self.reading, self.syncing) if future)

    def tell(self) -> None:
        if self.syncing:
            self.syncing.result()
        if self.reading and self.then:
            self.then(self.reading.result())


class Beside:
    """Threads for one backup or restore. What comes of their work is told in the thread that asked for it."""

    def __init__(self) -> None:
        self.readers = ThreadPoolExecutor(READING_THREADS, thread_name_prefix="read-back")
        self.syncers = ThreadPoolExecutor(SYNCING_THREADS, thread_name_prefix="to-disk")
        self.waiting: deque[_Waiting] = deque()

    def __enter__(self) -> "Beside":
        return self

    def __exit__(self, *ignored: object) -> None:
        for pool in (self.readers, self.syncers):
            pool.shutdown(wait=True, cancel_futures=True)

    def look(
        self, path: Path, then: Then, *, begin: int = 0, length: int | None = None, sync: bool = False
    ) -> None:
        """Have a file, or a stretch of it, read back, and forced to disk too; `then` hears what it has.

        Raises what reading, or a `then` of before, raised.
        """
        syncing = self.syncers.submit(force_to_disk, path) if sync else None
        self.waiting.append(_Waiting(self.readers.submit(read_back, path, begin, length), syncing, then))
        self._tell(MOST_WAITING)

    def force(self, handle: int) -> None:
        """Have what was written to an open file so far forced to disk. Raises what an earlier one raised."""
        self.waiting.append(_Waiting(None, self.syncers.submit(os.fsync, handle), None))

    def finish(self) -> None:
        """Wait until all is done and told."""
        self._tell(0)

    def _tell(self, most: int) -> None:
        """Tell what is ready, and wait until no more than `most` are not."""
        while self.waiting and (len(self.waiting) > most or self.waiting[0].done):
            self.waiting.popleft().tell()


def read_back(path: Path, begin: int = 0, length: int | None = None) -> ReadBack:
    """Read a file, or a stretch of it, once for both sums. Raises OSError."""
    running, crc, done = hashlib.sha256(), 0, 0
    block = memoryview(bytearray(BLOCK))
    with path.open("rb", buffering=0) as file:
        file.seek(begin)
        while length is None or done < length:
            took = file.readinto(block if length is None else block[: min(BLOCK, length - done)])
            if not took:
                break
            running.update(block[:took])
            crc = crc32(block[:took], crc)
            done += took
    return ReadBack(running.hexdigest(), crc, done)


def force_to_disk(path: Path) -> None:
    """Wait until a file's bytes are on the disk. Raises OSError."""
    with path.open("r+b", buffering=0) as file:
        os.fsync(file.fileno())
