"""Attachments of a permission (letters, permits): what is taken, where they lie, and how they are found.

They are content-addressed like pictures: on disk a paper is named by its digest, and the name that it came
with is a column. Nothing here removes one but `remove_unneeded`, which only the emptied bin calls.
"""

import logging
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from catalogue.common import kept_files
from catalogue.common.records import Record

from .models import Permission, Site

log = logging.getLogger("siltmark.papers")

ROOM: Final = "papers"
# A letter scanned in colour at 300 dots an inch has about 2 MB a page (our own measure).
PAPER_MAX_BYTES: Final = 25 * 1024 * 1024
LOOKED_AT: Final = 1024
CONTENT_TYPES: Final = {
    "pdf": "application/pdf",
    "jpg": "image/jpeg",
    "png": "image/png",
    "webp": "image/webp",
    "tif": "image/tiff",
    "heic": "image/heic",
}
# What a browser must not guess at: text may hold a page with a script.
UNNAMED: Final = "application/octet-stream"
NO_SUCH_KIND: Final = (
    "A letter or permit is a PDF, a picture (JPEG, PNG, WebP, TIFF, HEIC) or plain text; "
    "this file is neither. Save or print it as a PDF, and choose that."
)
TOO_HEAVY: Final = (
    "This file is too large: 25 MB is the most that a paper may have. "
    "Scan it in grey or with fewer dots per inch, and choose it again."
)


def kind_of(beginning: bytes) -> str:
    """The ending that a file of these first bytes gets ("pdf", "jpg", "txt" …); empty for no paper."""
    if b"%PDF-" in beginning[:LOOKED_AT]:
        return "pdf"
    if beginning.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if beginning.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if beginning[:4] == b"RIFF" and beginning[8:12] == b"WEBP":
        return "webp"
    if beginning[:4] in (b"II*\0", b"MM\0*"):
        return "tif"
    if beginning[4:8] == b"ftyp" and beginning[8:12] in (b"heic", b"heix", b"mif1", b"msf1", b"hevc"):
        return "heic"
    return "txt" if _is_text(beginning) else ""


def _is_text(beginning: bytes) -> bool:
    try:
        text = beginning.decode("utf-8")
    except UnicodeDecodeError as error:
        # The last letter may be cut in two where the look ends.
        if error.start < len(beginning) - 3 or len(beginning) < LOOKED_AT:
            return False
        text = beginning[: error.start].decode("utf-8")
    return bool(text) and all(letter.isprintable() or letter in "\r\n\t\f\ufeff" for letter in text)


def refusal(upload: "UploadedFile[Any]") -> str:
    """Why a file can't be kept as a paper, in a sentence; empty where it can."""
    if (upload.size or 0) > PAPER_MAX_BYTES:
        return TOO_HEAVY
    return "" if kind_of(_beginning(upload)) else NO_SUCH_KIND


def keep_paper(upload: "UploadedFile[Any]") -> str:
    """Keep an uploaded paper; gives its name below the folder of files. Raises OSError, ValueError."""
    kind = kind_of(_beginning(upload))
    if not kind:
        raise ValueError(NO_SUCH_KIND)
    upload.seek(0)
    return kept_files.keep_by_digest(root() / ROOM, upload.chunks(), kind).relative_to(root()).as_posix()


def _beginning(upload: "UploadedFile[Any]") -> bytes:
    upload.seek(0)
    found: bytes = upload.read(LOOKED_AT)
    return found


def root() -> Path:
    """The folder of files."""
    return Path(settings.MEDIA_ROOT)


def path_of(name: str) -> Path:
    """Where the paper of that name lies, also one from before papers were named by their digest.

    Raises FileNotFoundError for what isn't there or would lie outside.
    """
    place = (root() / name).resolve()
    if not place.is_relative_to(root().resolve()) or not place.is_file():
        raise FileNotFoundError(name)
    return place


def content_type_of(name: str) -> str:
    """What a browser is told of it; of whatever it could run, nothing."""
    return CONTENT_TYPES.get(Path(name).suffix.lstrip("."), UNNAMED) if name.startswith(ROOM) else UNNAMED


def papers_of(record: Record) -> list[str]:
    """The papers that go when a permission, or a site with all its permissions, is deleted for good."""
    if isinstance(record, Permission):
        kept = Permission.everything.filter(pk=record.pk)
    elif isinstance(record, Site):
        kept = Permission.everything.filter(site=record)
    else:
        return []
    return [name for name in kept.values_list("file", flat=True) if name]


def bytes_of(names: Iterable[str]) -> int:
    """How much these papers take on disk; one that is gone takes nothing."""
    length = 0
    for name in set(names):
        with suppress(OSError):
            length += path_of(name).stat().st_size
    return length


def remove_unneeded(names: Iterable[str]) -> None:
    """Delete papers of records that were deleted for good, unless another record has the same one."""
    for name in set(names):
        if Permission.everything.filter(file=name).exists():
            continue
        try:
            path_of(name).unlink()
        except FileNotFoundError:
            log.warning("the paper %s was gone already", Path(name).name)
