"""Integrity of original pictures: presence and size at each start, checksums in the background."""

import logging
import time
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event

from django.db import DatabaseError, transaction
from django.utils import timezone

from catalogue.common import kept_files
from catalogue.photos import files, originals_list
from catalogue.photos.models import OriginalCheck
from catalogue.photos.models.photo import kinds_of_pictures, rows_of
from catalogue.photos.renditions import make_and_note

from . import set_aside

log = logging.getLogger("siltmark.pictures")
CheckState = OriginalCheck.State
# Our own choices: each original's bytes are read again after a season; the disk is left three quarters of
# the time to whoever is working; the first pages come before any of it.
READ_AGAIN_AFTER = timedelta(days=90)
REST_SHARE = 3.0
FIRST_REST_S = 60.0
LOOKED_AT_AGAIN = 50
NEVER = datetime.min.replace(tzinfo=UTC)


@dataclass(slots=True)
class IntegrityReport:
    """What `check_pictures` found. `missing` and `damaged` name digests and what they are pictures of.

    `without_sizes` are digest and kind of whole ones whose smaller copies are not there.
    """

    checked: int = 0
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    sizes_made: int = 0
    without_sizes: list[tuple[str, str]] = field(default_factory=list)
    left_over: list[Path] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        return not self.missing and not self.damaged


@dataclass(frozen=True, slots=True)
class AmissOriginal:
    """An original that is missing or damaged, and whose picture it is, in words."""

    sha256: str
    state: OriginalCheck.State
    subjects: str

    def __str__(self) -> str:
        return f"{self.subjects}: {self.state.label}"


def check_pictures(*, make_sizes: bool = True) -> IntegrityReport:
    """Compare every original with its digest; make the sizes that are missing, or only name those pictures.

    Removes nothing. What was found is told also where it can't be noted, as on a full disk.
    """
    report = IntegrityReport()
    for sha256, (kind, _) in sorted(every_original().items()):
        report.checked += 1
        state = _state_of(sha256, kind)
        with suppress(DatabaseError), transaction.atomic():
            note(sha256, kind, state, read_at=timezone.now())
        if state is CheckState.WHOLE:
            if files.has_sizes(sha256):
                continue
            if not (make_sizes and make_and_note(sha256, kind)):
                report.without_sizes.append((sha256, kind))
            else:
                report.sizes_made += 1
            continue
        named = report.missing if state is CheckState.MISSING else report.damaged
        named.append(f"{subjects(sha256)}: {state.label}")
    report.left_over = set_aside.without_row()
    return report


def every_original() -> dict[str, tuple[str, int]]:
    """By digest: kind and bytes of every file that a row speaks of, the bin included, whichever room's."""
    return {
        sha256: (kind, length)
        for model in kinds_of_pictures()
        for sha256, kind, length in model._base_manager.values_list("sha256", "format", "bytes")
    }


def subjects(sha256: str) -> str:
    """Whose picture it is, in words: a row of any room, and under which name it came."""
    return "; ".join(
        f"{row.of_words()} ({row.original_name})" if row.original_name else row.of_words()
        for row in rows_of(sha256)
    )


def read_one(sha256: str, kind: str) -> OriginalCheck.State:
    """Read an original's bytes, and write down what was found."""
    state = _state_of(sha256, kind)
    note(sha256, kind, state, read_at=timezone.now())
    return state


def _state_of(sha256: str, kind: str) -> OriginalCheck.State:
    try:
        whole = kept_files.digest_on_disk(files.original(sha256, kind)) == sha256
    except OSError:
        return CheckState.MISSING
    return CheckState.WHOLE if whole else CheckState.DAMAGED


def glance(sha256: str, kind: str, length: int) -> OriginalCheck.State:
    """Look at presence and size alone: a thousand in a fraction of a second."""
    try:
        there = files.original(sha256, kind).stat().st_size
    except OSError:
        return CheckState.MISSING
    return CheckState.WHOLE if there == length else CheckState.DAMAGED


def note(sha256: str, kind: str, state: OriginalCheck.State, *, read_at: datetime | None = None) -> None:
    """Write down what a look found; `read_at` where every byte was read."""
    OriginalCheck.objects.update_or_create(
        sha256=sha256, defaults={"format": kind, "state": state, "read_at": read_at}
    )


def look_at_originals() -> list[str]:
    """The start check of pictures: presence and size of every original, and the list beside them.

    An original that was set aside and is needed again is brought back; one that was damaged is read again, as
    a good copy may have been put in its place. Returns what the owner is told before the catalogue opens.
    """
    known = every_original()
    before = dict(OriginalCheck.objects.values_list("sha256", "state"))
    for sha256, (kind, length) in known.items():
        state = glance(sha256, kind, length)
        if state is CheckState.MISSING and set_aside.bring_back(sha256, kind):
            state = glance(sha256, kind, length)
        earlier = before.pop(sha256, CheckState.WHOLE)
        if state is CheckState.WHOLE and earlier == CheckState.DAMAGED:
            read_one(sha256, kind)
        elif state != earlier:
            note(sha256, kind, state)
    for sha256 in before:
        # No row speaks of it any more.
        OriginalCheck.objects.filter(sha256=sha256).delete()
    return [*_amiss_sentences(len(known)), *_list_sentences(known), *_unknown_sentences()]


def look_again() -> None:
    """Look once more at what was amiss: a picture may have been sent again, or its file been put back.

    A damaged one is read again where its file was written since. At most `LOOKED_AT_AGAIN` are looked at, so
    that a page can ask for it.
    """
    for row in OriginalCheck.objects.exclude(state=CheckState.WHOLE)[:LOOKED_AT_AGAIN]:
        try:
            written = files.original(row.sha256, row.format).stat().st_mtime
        except OSError:
            continue
        if row.state == CheckState.MISSING or row.read_at is None or written > row.read_at.timestamp():
            read_one(row.sha256, row.format)


def amiss() -> list[AmissOriginal]:
    """Every original that is missing or damaged, as last looked at, with whose picture it is."""
    rows = OriginalCheck.objects.exclude(state=CheckState.WHOLE).order_by("state", "sha256")
    return [AmissOriginal(row.sha256, CheckState(row.state), subjects(row.sha256)) for row in rows]


def count_amiss() -> int:
    """How many originals are missing or damaged; one query where none is, for the home page."""
    amiss_now = OriginalCheck.objects.exclude(state=CheckState.WHOLE)
    if count := amiss_now.count():
        look_again()
        count = amiss_now.count()
    return count


def _amiss_sentences(of: int) -> list[str]:
    rows = amiss()
    if not rows:
        return []
    missing = sum(row.state is CheckState.MISSING for row in rows)
    parts = [
        f"{count} {word}" for count, word in ((missing, "missing"), (len(rows) - missing, "damaged")) if count
    ]
    return [
        f"Of {of} original pictures {' and '.join(parts)} (first: {rows[0].subjects}). Put the files back "
        "from a copy of the folder, or send the pictures again; Safekeeping lists them."
    ]


def _list_sentences(known: dict[str, tuple[str, int]]) -> list[str]:
    """Bring the list beside the files up to date; a sentence where that can't be."""
    try:
        originals_list.bring_up_to_date(known)
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        return [f"The list of original pictures {originals_list.path()} can't be written ({said})."]
    return []


def _unknown_sentences() -> list[str]:
    unknown = set_aside.unknown()
    if not unknown:
        return []
    were = "picture was" if len(unknown) == 1 else "pictures were"
    return [
        f"{len(unknown)} {were} filed in this folder that this database does not know: it is an older copy, "
        "or not this folder's. The files stay where they are; Safekeeping lists them."
    ]


def read_originals(stop: Event) -> None:
    """The background work that reads every original's bytes, those not read for longest first."""
    if stop.wait(FIRST_REST_S):
        return
    for sha256, kind in due_for_reading():
        began = time.monotonic()
        try:
            state = read_one(sha256, kind)
        except DatabaseError as error:
            log.warning("an original was read, but that could not be noted: %s", error)
            return
        if state is not CheckState.WHOLE:
            log.error("the original %s: %s", sha256, state.label)
        if stop.wait((time.monotonic() - began) * REST_SHARE):
            return


def due_for_reading() -> list[tuple[str, str]]:
    """Digest and kind of what was never read, or not for `READ_AGAIN_AFTER`; longest ago first."""
    read = dict(OriginalCheck.objects.exclude(read_at=None).values_list("sha256", "read_at"))
    line = timezone.now() - READ_AGAIN_AFTER
    due = [
        (sha256, kind) for sha256, (kind, _) in every_original().items() if _before(read.get(sha256), line)
    ]
    return sorted(due, key=lambda each: read.get(each[0]) or NEVER)


def _before(read_at: datetime | None, line: datetime) -> bool:
    # A clock that once stood in the future must not keep a picture from ever being read again.
    return read_at is None or read_at < line or read_at > timezone.now()
