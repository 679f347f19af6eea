"""Beside the copying: threads that force to disk what was written, and read it back, while more is copied.

It goes in stretches of some MB. Each is forced to disk, the system is asked to let go of it, and only then is
it read: where the system does, what is compared comes from the disk itself and not from the memory that it
was written through. Digests, checksums and the disk all work without Python's lock.
"""

import hashlib
import os
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

from catalogue.common.kept_files import let_go_of
from catalogue.exchange.backup.checksum import crc32

# Two that hash while one waits for the disk.
READING_THREADS = 3
# So much is forced to disk at a time, and the copying is so many of these ahead at most: little waits at the
# end, and little of what was written is held in the system's memory.
FORCED_BYTES, FORCED_FILES, MOST_WAITING = 32_000_000, 256, 4
# Small enough to be hashed while it is still near the processor.
BLOCK = 256 * 1024


class ReadBack(NamedTuple):
    """What a stretch of a file has: its SHA-256, its CRC-32, how many bytes."""

    digest: str
    crc: int
    length: int


Then = Callable[[ReadBack], None]


class _Stretch(NamedTuple):
    path: Path
    begin: int
    length: int | None


class Beside:
    """Threads for one backup or restore. What comes of their work is told in the thread that asked for it."""

    def __init__(self) -> None:
        self.threads = ThreadPoolExecutor(READING_THREADS, thread_name_prefix="read-back")
        self.asked: list[tuple[_Stretch, Then]] = []
        self.asked_bytes = 0
        self.waiting: deque[tuple[Future[list[ReadBack]], list[Then]]] = deque()

    def __enter__(self) -> "Beside":
        return self

    def __exit__(self, *ignored: object) -> None:
        self.threads.shutdown(wait=True, cancel_futures=True)

    def look(self, path: Path, then: Then, *, begin: int = 0, length: int | None = None) -> None:
        """Have a file, or a stretch of it, forced to disk and read back from there; `then` hears what it has.

        Raises what forcing, reading, or a `then` of before, raised.
        """
        self.asked.append((_Stretch(path, begin, length), then))
        self.asked_bytes += path.stat().st_size if length is None else length
        if self.asked_bytes >= FORCED_BYTES or len(self.asked) >= FORCED_FILES:
            self._hand_over()
            self._tell(MOST_WAITING)

    def finish(self) -> None:
        """Wait until all is done and told."""
        self._hand_over()
        self._tell(0)

    def _hand_over(self) -> None:
        stretches = [stretch for stretch, _then in self.asked]
        thens = [then for _stretch, then in self.asked]
        self.waiting.append((self.threads.submit(_force_and_read, stretches), thens))
        self.asked, self.asked_bytes = [], 0

    def _tell(self, most: int) -> None:
        """Tell what is ready, and wait until no more than `most` are not."""
        while self.waiting and (len(self.waiting) > most or self.waiting[0][0].done()):
            reading, thens = self.waiting.popleft()
            for then, found in zip(thens, reading.result(), strict=True):
                then(found)


def _force_and_read(stretches: list[_Stretch]) -> list[ReadBack]:
    for path in {stretch.path for stretch in stretches}:
        force_to_disk(path)
    return [read_back(stretch.path, stretch.begin, stretch.length) for stretch in stretches]


def read_back(path: Path, begin: int = 0, length: int | None = None) -> ReadBack:
    """Read a file, or a stretch of it, once for both sums. Raises OSError."""
    running, crc, done = hashlib.sha256(), 0, 0
    block = memoryview(bytearray(BLOCK))
    with path.open("rb", buffering=0) as file:
        file.seek(begin)
        let_go_of(file, begin, length)
        while length is None or done < length:
            took = file.readinto(block if length is None else block[: min(BLOCK, length - done)])
            if not took:
                break
            running.update(block[:took])
            crc = crc32(block[:took], crc)
            done += took
        let_go_of(file, begin, done)
    return ReadBack(running.hexdigest(), crc, done)


def force_to_disk(path: Path) -> None:
    """Wait until a file's bytes are on the disk. Raises OSError."""
    with path.open("r+b", buffering=0) as file:
        os.fsync(file.fileno())
