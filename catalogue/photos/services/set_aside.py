"""Quarantine of originals that no row speaks of: moved to a dated folder, never deleted unasked.

Three kinds of file lie in the store without a row:

* a smaller copy, or what an upload that broke off left behind: removed after a day, it can be made again;
* an original that was *let go* (a form given up, a picture taken off a card) or was never listed: set aside,
  up to `MOST_MOVED_UNASKED` of them by itself, more only when the owner asks;
* an original that the list beside the files calls *filed*: this database does not know it, so it is probably
  an older copy. It stays where it is until the owner says otherwise.
"""

import logging
import os
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from threading import Event

from django.utils import timezone

from catalogue.common import kept_files
from catalogue.photos import files, originals_list
from catalogue.photos.models import HeldPicture
from catalogue.photos.models.photo import kinds_of_pictures
from catalogue.photos.originals_list import Fate

log = logging.getLogger("siltmark.pictures")
HELD_FOR = timedelta(days=7)
# A file is written before its row: only one that has lain without a row for a day is left over.
LEFT_OVER_AFTER_S = 24 * 3600
# More than this at once is not tidying up but a sign that something is wrong with the database.
MOST_MOVED_UNASKED = 20
# The owner sees the first page before anything is moved.
FIRST_WAIT_S = 600.0
JUST_NOW_S = 60.0


class OtherThanTold(Exception):
    """What was told and what is there now are not the same."""


@dataclass(frozen=True, slots=True)
class FileCount:
    """How many files and how many bytes."""

    count: int = 0
    bytes: int = 0

    @classmethod
    def of(cls, paths: Iterable[Path]) -> "FileCount":
        """Count files on disk; what is gone meanwhile does not count."""
        sizes = [length for path in paths if (length := _length(path)) is not None]
        return cls(len(sizes), sum(sizes))


@dataclass(frozen=True, slots=True)
class SetAsideDay:
    """One dated folder of what was set aside."""

    day: str
    files: FileCount


def needed() -> set[str]:
    """Digest of every file that a row speaks of, the bin included."""
    return {
        sha256
        for model in kinds_of_pictures()
        for sha256 in model._base_manager.values_list("sha256", flat=True)
    }


def without_row() -> list[Path]:
    """Every file of the store that no row speaks of, however young."""
    wanted = needed()
    return [
        path for path in files.stored() if path.suffix == ".part" or files.digest_in_name(path) not in wanted
    ]


@dataclass(frozen=True, slots=True)
class LooseOriginals:
    """Originals that no row speaks of: those that the list calls filed, and the old ones of the others."""

    unknown: list[Path]
    leftovers: list[Path]


def loose_originals(*, after_s: float = LEFT_OVER_AFTER_S) -> LooseOriginals:
    """One look through the store; `leftovers` were last written more than `after_s` seconds ago."""
    wanted, listed = needed(), originals_list.listed()
    loose = LooseOriginals([], [])
    for path in files.originals():
        sha256 = files.digest_in_name(path)
        if sha256 in wanted:
            continue
        if sha256 in listed and listed[sha256].fate is Fate.FILED:
            loose.unknown.append(path)
        elif _is_old(path, after_s):
            loose.leftovers.append(path)
    return loose


def unknown() -> list[Path]:
    """Originals that the list calls filed and that no row of this database speaks of."""
    return loose_originals().unknown


def leftovers(*, after_s: float = LEFT_OVER_AFTER_S) -> list[Path]:
    """Originals without a row that nobody calls filed, last written more than `after_s` seconds ago."""
    return loose_originals(after_s=after_s).leftovers


def set_aside(paths: Iterable[Path]) -> FileCount:
    """Move originals to today's folder of `set-aside/`; smaller copies go. What moved."""
    day = folder() / timezone.localdate().isoformat()
    moved = FileCount()
    for path in paths:
        with files.KEEPING:
            length = _length(path)
            # Kept again just now: its row is about to be written, or is.
            if length is None or not _is_old(path, JUST_NOW_S):
                continue
            kept_files.make_folder(day)
            os.replace(path, _free(day / path.name))
            kept_files.sync_folder(day)
            kept_files.sync_folder(path.parent)
        sha256 = files.digest_in_name(path)
        if sha256:
            files.remove_sizes(sha256)
        moved = FileCount(moved.count + 1, moved.bytes + length)
    return moved


def set_aside_few() -> FileCount:
    """Set leftovers aside where they are few; many wait for the owner's word. What moved."""
    found = leftovers()
    if len(found) > MOST_MOVED_UNASKED:
        log.warning("%s pictures belong to nothing; Safekeeping asks whether to set them aside", len(found))
        return FileCount()
    return set_aside(found)


def bring_back(sha256: str, kind: str) -> bool:
    """Put an original that was set aside back in its place. Whether one was there."""
    place = files.original(sha256, kind)
    for path in sorted(folder().rglob(f"{place.name}*")):
        if kept_files.is_whole(path, sha256):
            with files.KEEPING:
                kept_files.make_folder(place.parent)
                os.replace(path, place)
                kept_files.sync_folder(place.parent)
            return True
    return False


def folder() -> Path:
    """Where what was set aside lies."""
    return files.root() / "set-aside"


def days() -> list[SetAsideDay]:
    """The dated folders, oldest first, with what lies in each."""
    if not folder().exists():
        return []
    return [
        SetAsideDay(day.name, told)
        for day in sorted(folder().iterdir())
        if day.is_dir() and (told := FileCount.of(day.rglob("*"))).count
    ]


def delete_day(day: str, told: FileCount) -> FileCount:
    """Delete one dated folder for good, on the owner's word. What went.

    Raises OtherThanTold where number or size are not what the owner was told, or there is no such folder.
    """
    found = {each.day: each.files for each in days()}
    if found.get(day) != told:
        raise OtherThanTold
    lines = []
    for path in sorted((folder() / day).rglob("*")):
        if path.is_file():
            path.unlink()
            sha256, kind = files.digest_in_name(path), files.kind_in_name(path)
            if sha256 and kind:
                lines.append(originals_list.line(Fate.DELETED, sha256, kind))
    with suppress(OSError):
        (folder() / day).rmdir()
    originals_list.append(lines)
    return told


def tidy() -> tuple[int, FileCount]:
    """Give up pictures held for a week, remove old smaller copies without a row, set a few originals aside.

    Returns how many copies went and what was set aside.
    """
    for held in HeldPicture.objects.filter(created__lt=timezone.now() - HELD_FOR):
        held.delete()
    originals = set(files.originals())
    copies = sum(
        files.remove_copy_if_old(path, LEFT_OVER_AFTER_S) for path in without_row() if path not in originals
    )
    return copies, set_aside_few()


def tidy_later(stop: Event) -> None:
    """The background work that tidies up, once, some minutes after the start."""
    if stop.wait(FIRST_WAIT_S):
        return
    copies, moved = tidy()
    if copies or moved.count:
        log.info("%s smaller copies removed, %s originals set aside", copies, moved.count)


def _length(path: Path) -> int | None:
    try:
        return path.stat().st_size if path.is_file() else None
    except OSError:
        return None


def _is_old(path: Path, after_s: float) -> bool:
    try:
        return files.is_old(path, after_s)
    except FileNotFoundError:
        return False


def _free(path: Path) -> Path:
    """The path, or one beside it that nothing has yet."""
    free, n = path, 1
    while free.exists():
        n += 1
        free = path.with_name(f"{path.name}.{n}")
    return free
