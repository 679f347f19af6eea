"""Signals: the list of originals beside the files follows the rows of every room that keeps pictures."""

import logging
from functools import partial
from typing import Any

from django.db import transaction
from django.db.models.signals import post_delete, post_save

from catalogue.photos import originals_list
from catalogue.photos.models import PictureFacts
from catalogue.photos.models.photo import kinds_of_pictures, rows_of
from catalogue.photos.originals_list import Fate

log = logging.getLogger("siltmark.pictures")


def connect() -> None:
    """Follow every kind of row that speaks of a picture's file."""
    for kind in kinds_of_pictures():
        post_save.connect(_written, sender=kind, dispatch_uid="originals_list")
        post_delete.connect(_removed, sender=kind, dispatch_uid="originals_list")


def _written(instance: PictureFacts, created: bool, **about: Any) -> None:
    if created and not about.get("raw"):
        line = originals_list.line(
            Fate.FILED,
            instance.sha256,
            instance.format,
            bytes=instance.bytes,
            came_as=instance.original_name,
        )
        transaction.on_commit(partial(_append, line), robust=True)


def _removed(instance: PictureFacts, **about: Any) -> None:
    transaction.on_commit(partial(_let_go, instance.sha256, instance.format), robust=True)


def _let_go(sha256: str, kind: str) -> None:
    if not any(rows_of(sha256)):
        _append(originals_list.line(Fate.LET_GO, sha256, kind))


def _append(line: str) -> None:
    try:
        originals_list.append([line])
    except OSError as error:
        # The row is kept all the same; the next start brings the list up to date from the rows.
        log.warning("the list of originals could not be written: %s", error)
