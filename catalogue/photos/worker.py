"""Makes sizes beside the requests, in one thread of this process.

What it has not done when the process ends is found again at the next start by `sizes_made`; so its list of
work needs no store of its own. Where no worker runs (tests, commands), sizes are made at once.
"""

import logging
from functools import partial
from queue import Empty, SimpleQueue
from threading import Event

from django.db import close_old_connections, transaction

from . import files
from .making import make_and_note, make_sizes, still_to_make

log = logging.getLogger("siltmark.pictures")
LOOK_FOR_STOP_S = 0.5


class SizeWorker:
    """A list of work, and the loop that does it."""

    def __init__(self) -> None:
        self._waiting: SimpleQueue[tuple[str, str]] = SimpleQueue()
        self.running = False

    def run(self, stop: Event) -> None:
        """Do what an earlier run left undone, then whatever comes, until `stop` is set."""
        self.running = True
        try:
            for work in still_to_make():
                self._waiting.put(work)
            while not stop.is_set():
                try:
                    sha256, kind = self._waiting.get(timeout=LOOK_FOR_STOP_S)
                except Empty:
                    close_old_connections()
                    continue
                make_and_note(sha256, kind)
        finally:
            self.running = False

    def add(self, sha256: str, kind: str) -> None:
        self._waiting.put((sha256, kind))


worker = SizeWorker()


def work_on_pictures(stop: Event) -> None:
    """The background work of this room: sweep once, then make sizes."""
    # Imported here: the services themselves hand work to this module.
    from .services.sweeping import sweep

    swept = sweep()
    if swept:
        log.info("%s files left over by pictures were removed", swept)
    worker.run(stop)


def sizes_soon(sha256: str, kind: str) -> bool:
    """Have the sizes of an original made: by the worker once the row is written, else here and now.

    True where they are made when this returns. What was sorted on a card first has them already.
    """
    if files.has_sizes(sha256):
        return True
    if worker.running:
        transaction.on_commit(partial(worker.add, sha256, kind))
        return False
    return make_sizes(sha256, kind)
