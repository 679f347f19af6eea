"""Making the smaller copies of an original, wherever and whenever they are missing."""

import logging

from django.db import DatabaseError

from . import files, sizes
from .decoding import in_turn
from .models import Photo

log = logging.getLogger("siltmark.pictures")


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
    for made in sizes.derive(files.original(sha256, kind)):
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


def still_to_make() -> list[tuple[str, str]]:
    """Digest and kind of every picture whose sizes are not noted as made, the bin included."""
    waiting = Photo.everything.filter(sizes_made=False).order_by("sha256")
    return list(waiting.values_list("sha256", "format").distinct())
