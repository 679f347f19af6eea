"""Renditions: the smaller copies of an original (thumbnails), made by a background worker where missing.

The worker makes them beside the requests, in one thread of this process. What it has not done when the
process ends is found again at the next start by `sizes_made`; so its list of work needs no store of its own.
While no size is asked for it cuts bottles out of their pictures (`cutting.py`), one after the other. Where no
worker runs (tests, commands), sizes are made at once, and cuts by the next worker.
"""

import io
import logging
from functools import partial
from queue import Empty, SimpleQueue
from threading import Event

from django.db import DatabaseError, close_old_connections, transaction
from django.db.models.signals import post_save
from PIL import Image

from . import files
from .cutting import MADE_FROM, make_cut, still_to_cut
from .decoding import derive, in_turn
from .models import Photo

log = logging.getLogger("siltmark.pictures")

LOOK_FOR_STOP_S = 0.5


def make_sizes(sha256: str, kind: str) -> bool:
    """Write all sizes of one original. False, with a line in the log, where they can't be made."""
    try:
        in_turn(write_sizes, sha256, kind)
    except Exception:
        # A file damaged on disk: decoders raise anything. The original stays; `photos check` tells of it.
        log.exception("no sizes could be made of %s", sha256)
        return False
    return True


def write_sizes(sha256: str, kind: str) -> None:
    """Raises whatever a decoder does for a damaged file."""
    for made in derive(files.original(sha256, kind)):
        files.keep_size(sha256, made.name, made.jpeg)


def make_and_note(sha256: str, kind: str) -> bool:
    """Make the sizes and note so on every picture with that file."""
    if not make_sizes(sha256, kind):
        return False
    try:
        Photo.everything.filter(sha256=sha256, sizes_made=False).update(sizes_made=True)
    except DatabaseError:
        # Only a note: at next start the sizes are found made and it is written then.
        log.warning("sizes of %s are made, but that could not be noted", sha256)
    return True


def ensure_size(sha256: str, kind: str, name: str) -> bool:
    """See that one size is there, making all of them if it isn't. False where that can't be done."""
    if files.size(sha256, name).exists():
        return True
    return files.original(sha256, kind).exists() and make_and_note(sha256, kind)


def cut_and_note(sha256: str, kind: str) -> bool:
    """Cut the bottle out and note its size on every picture with that file. False for a damaged one."""
    if not ensure_size(sha256, kind, MADE_FROM):
        return False
    try:
        width, height = make_cut(sha256)
    except Exception:
        # As with sizes: decoders raise anything. It is tried again after the next start.
        log.exception("no cut could be made of %s", sha256)
        return False
    _note_cut(sha256, width, height)
    return True


def keep_cut(sha256: str, content: bytes) -> None:
    """Keep a cut that was made of that picture earlier, as the demo's were.

    Raises what Pillow raises for bytes that are no picture.
    """
    with Image.open(io.BytesIO(content)) as cut:
        width, height = cut.size
    files.keep_copy(files.cut(sha256), content)
    _note_cut(sha256, width, height)


def _note_cut(sha256: str, width: int, height: int) -> None:
    Photo.everything.filter(sha256=sha256).update(cut_width=width, cut_height=height)


def ensure_cut(sha256: str, kind: str) -> bool:
    """See that the cut of a picture that has one is there. False where that can't be done."""
    return files.cut(sha256).exists() or (cut_and_note(sha256, kind) and files.cut(sha256).exists())


def still_to_make() -> list[tuple[str, str]]:
    """Digest and kind of every picture whose sizes are not noted as made, the bin included."""
    waiting = Photo.everything.filter(sizes_made=False).order_by("sha256")
    return list(waiting.values_list("sha256", "format").distinct())


class SizeWorker:
    """A list of work, and the loop that does it."""

    def __init__(self) -> None:
        self._waiting: SimpleQueue[tuple[str, str]] = SimpleQueue()
        self._to_cut: list[tuple[str, str]] = []
        # Of damaged files: not tried again before the next start.
        self._not_cut: set[str] = set()
        # Whether a picture may have come or changed since the list of cuts was made.
        self.look_for_cuts = False
        self.running = False

    def run(self, stop: Event) -> None:
        """Do what an earlier run left undone, then whatever comes, until `stop` is set."""
        self.running = True
        try:
            self._to_cut, self._not_cut, self.look_for_cuts = [], set(), True
            for work in still_to_make():
                self._waiting.put(work)
            while not stop.is_set():
                try:
                    sha256, kind = self._waiting.get(timeout=0 if self._cuts_wait() else LOOK_FOR_STOP_S)
                except Empty:
                    self._cut_one()
                    continue
                make_and_note(sha256, kind)
                self.look_for_cuts = True
        finally:
            self.running = False

    def _cuts_wait(self) -> bool:
        return bool(self._to_cut) or self.look_for_cuts

    def _cut_one(self) -> None:
        """One cut at a time, so that a size that is asked for meanwhile need not wait for all of them."""
        try:
            if not self._to_cut:
                self.look_for_cuts = False
                self._to_cut = [each for each in still_to_cut()[::-1] if each[0] not in self._not_cut]
            elif not cut_and_note(*self._to_cut[-1]):
                self._not_cut.add(self._to_cut.pop()[0])
            else:
                self._to_cut.pop()
                # Those of a worse role may be wanted now.
                self.look_for_cuts = True
        except DatabaseError:
            # It is found again at the next start.
            log.warning("a cut could not be noted")
        if not self._to_cut:
            close_old_connections()

    def note_pictures(self) -> None:
        """Pictures came or changed: some may have to be cut."""
        self.look_for_cuts = True

    def add(self, sha256: str, kind: str) -> None:
        """Have these sizes made after all that was asked for before."""
        self._waiting.put((sha256, kind))


worker = SizeWorker()


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


def follow_pictures() -> None:
    """Have the worker look for cuts whenever a picture was written: a new one, or one of another role."""
    post_save.connect(_written, sender=Photo, dispatch_uid="cuts")


def _written(**_about: object) -> None:
    if worker.running:
        transaction.on_commit(worker.note_pictures)
