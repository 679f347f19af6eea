"""Integrity of picture files: checksums compared, missing sizes made, orphaned files swept."""

import logging
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from threading import Event

from django.apps import apps
from django.utils import timezone

from catalogue.photos import files
from catalogue.photos.models import HeldPicture, PictureFacts
from catalogue.photos.renditions import make_and_note, worker

log = logging.getLogger("siltmark.pictures")
HELD_FOR = timedelta(days=7)
# A file is written before its row: only one that has lain without a row for a day is left over.
ORPHAN_AFTER_S = 24 * 3600


@dataclass(slots=True)
class IntegrityReport:
    """What `check_pictures` found. `missing` and `damaged` name digests and what they are pictures of."""

    checked: int = 0
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    sizes_made: int = 0
    left_over: list[Path] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        return not self.missing and not self.damaged


def check_pictures() -> IntegrityReport:
    """Compare every original with its digest and make the sizes that are missing. Removes nothing."""
    report = IntegrityReport()
    for sha256, kind in sorted(every_original()):
        report.checked += 1
        try:
            whole = files.digest_of(files.original(sha256, kind)) == sha256
        except OSError:
            report.missing.append(f"{subjects(sha256)}: its file is gone")
            continue
        if not whole:
            report.damaged.append(f"{subjects(sha256)}: its file is not what was taken in")
        elif not files.has_sizes(sha256):
            report.sizes_made += make_and_note(sha256, kind)
    report.left_over = orphans()
    return report


def kinds_of_pictures() -> list[type[PictureFacts]]:
    """Every kind of row that speaks of a picture's file; later rooms keep kinds of their own."""
    return [model for model in apps.get_models() if issubclass(model, PictureFacts)]


def every_original() -> set[tuple[str, str]]:
    """Digest and kind of every file that a row speaks of, the bin included, whichever room keeps that row."""
    return {
        pair for kind in kinds_of_pictures() for pair in kind._base_manager.values_list("sha256", "format")
    }


def subjects(sha256: str) -> str:
    """Whose picture it is, in words: a row of any room, and under which name it came."""
    rows = (row for kind in kinds_of_pictures() for row in kind._base_manager.filter(sha256=sha256))
    return "; ".join(
        f"{row.of_words()} ({row.original_name})" if row.original_name else row.of_words() for row in rows
    )


def sweep() -> int:
    """Let go of held pictures after a week and remove files left over. Returns how many files went."""
    HeldPicture.objects.filter(created__lt=timezone.now() - HELD_FOR).delete()
    return sum(files.remove_if_old(path, ORPHAN_AFTER_S) for path in orphans())


def orphans() -> list[Path]:
    """Files of pictures that no row needs, however young; later rooms keep rows of pictures of their own."""
    needed = {sha256 for sha256, _ in every_original()}
    return [
        path for path in files.stored() if path.suffix == ".part" or files.digest_in_name(path) not in needed
    ]


def work_on_pictures(stop: Event) -> None:
    """The background work of this room: sweep once, then make sizes."""
    swept = sweep()
    if swept:
        log.info("%s files left over by pictures were removed", swept)
    worker.run(stop)
