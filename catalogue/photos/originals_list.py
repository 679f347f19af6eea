"""Append-only log (manifest) of originals beside the files: what was filed, let go and deleted, and when.

The database can be lost, put back from an older copy, or be another one; this list stays with the files, so
that a start can tell which pictures this database does not know. One line a thing, tabs between::

    2026-11-28T13:30:05+00:00  filed    <SHA-256>.jpg  2345678  IMG_1.jpg
    2026-11-28T13:35:10+00:00  let go   <SHA-256>.jpg
    2026-12-01T09:00:00+00:00  deleted  <SHA-256>.jpg

*Let go*: no row of the database speaks of it any more (a form that was given up, a picture taken off a card).
"""

import logging
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Any, BinaryIO

from django.db import transaction
from django.db.models.signals import post_delete, post_save
from django.utils import timezone

from catalogue.common import kept_files
from catalogue.photos import files
from catalogue.photos.models import PictureFacts
from catalogue.photos.models.photo import kinds_of_pictures, rows_of

APPENDING = Lock()
log = logging.getLogger("siltmark.pictures")


class Fate(StrEnum):
    """What a line says of an original."""

    FILED = "filed"
    LET_GO = "let go"
    DELETED = "deleted"


@dataclass(frozen=True, slots=True)
class ListedOriginal:
    """The last word on one original."""

    fate: Fate
    file_name: str
    bytes: int = 0
    came_as: str = ""


def path() -> Path:
    """Where the list lies."""
    return files.root() / "originals.txt"


def line(fate: Fate, sha256: str, kind: str, *, bytes: int = 0, came_as: str = "") -> str:
    """One line of the list; the name that a file came with can't break it."""
    fields = [timezone.now().isoformat(timespec="seconds"), fate, files.original(sha256, kind).name]
    if fate is Fate.FILED:
        fields += [str(bytes), "".join(c for c in came_as if c.isprintable())]
    return "\t".join(fields)


def append(lines: Iterable[str]) -> None:
    """Add lines, forced to disk. Raises OSError."""
    text = "".join(f"{each}\n" for each in lines)
    if not text:
        return
    kept_files.make_folder(files.root())
    with APPENDING:
        handle = os.open(path(), os.O_RDWR | os.O_APPEND | os.O_CREAT, kept_files.OWNER_ONLY)
        with os.fdopen(handle, "r+b") as file:
            # A crash in the middle of a line must not spoil the next one.
            if not _ends_whole(file):
                text = f"\n{text}"
            file.write(text.encode())
            file.flush()
            os.fsync(file.fileno())


def _ends_whole(file: BinaryIO) -> bool:
    if not file.seek(0, os.SEEK_END):
        return True
    file.seek(-1, os.SEEK_END)
    return file.read(1) == b"\n"


def listed() -> dict[str, ListedOriginal]:
    """By digest: the last line of each original. A line that is cut short or strange is passed over."""
    found: dict[str, ListedOriginal] = {}
    for fields in _lines():
        try:
            fate, name = Fate(fields[1]), fields[2]
            length = int(fields[3]) if fate is Fate.FILED else 0
        except (IndexError, ValueError):
            continue
        sha256 = files.digest_in_name(Path(name))
        if sha256:
            found[sha256] = ListedOriginal(fate, name, length, fields[4] if len(fields) > 4 else "")
    return found


def bring_up_to_date(known: Mapping[str, tuple[str, int]]) -> None:
    """Add what the rows speak of and the list does not name as filed (kind and bytes by digest)."""
    there = listed()
    append(
        line(Fate.FILED, sha256, kind, bytes=length)
        for sha256, (kind, length) in known.items()
        if sha256 not in there or there[sha256].fate is not Fate.FILED
    )


def _lines() -> Iterator[list[str]]:
    try:
        with path().open(encoding="utf-8", errors="replace") as file:
            for each in file:
                yield each.rstrip("\n").split("\t")
    except (FileNotFoundError, NotADirectoryError):
        return


def connect() -> None:
    """Follow every kind of row that speaks of a picture's file."""
    for kind in kinds_of_pictures():
        post_save.connect(_written, sender=kind, dispatch_uid="originals_list")
        post_delete.connect(_removed, sender=kind, dispatch_uid="originals_list")


def _written(instance: PictureFacts, created: bool, **about: Any) -> None:
    if created and not about.get("raw"):
        entry = line(
            Fate.FILED,
            instance.sha256,
            instance.format,
            bytes=instance.bytes,
            came_as=instance.original_name,
        )
        transaction.on_commit(partial(_append, entry), robust=True)


def _removed(instance: PictureFacts, **about: Any) -> None:
    transaction.on_commit(partial(_let_go, instance.sha256, instance.format), robust=True)


def _let_go(sha256: str, kind: str) -> None:
    if not any(rows_of(sha256)):
        _append(line(Fate.LET_GO, sha256, kind))


def _append(line: str) -> None:
    try:
        append([line])
    except OSError as error:
        # The row is kept all the same; the next start brings the list up to date from the rows.
        log.warning("the list of originals could not be written: %s", error)
