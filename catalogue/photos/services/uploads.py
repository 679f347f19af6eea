"""Uploads: pictures stored, held while their form is filled in, then claimed by what they show.

A form uses it so (the picker partial draws it)::

    picked = gather(request)
    if form.is_valid() and not picked.failed:
        find = record(...)
        picked.file_under(find)
    else:
        ... render the form again with `picked`: every picture is still there

With script the pictures come one by one while the form is being filled in, and only their tokens are in the
form; without it they come with the form. Both end as held pictures, so that an error elsewhere loses none.
Every file is inspected and kept bit for bit before any row speaks of it.
"""

import errno
import logging
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Protocol

from django.conf import settings
from django.db import transaction
from django.db.models import F, Max, Model
from django.http import HttpRequest

from catalogue.common.forms.idempotency_key import in_turn_of_forms
from catalogue.common.limits import NAME_LENGTH
from catalogue.photos import files
from catalogue.photos.decoding import in_turn
from catalogue.photos.image_file import PictureRefused, examine
from catalogue.photos.models import FileFacts, HeldPicture, Photo
from catalogue.photos.renditions import sizes_soon

log = logging.getLogger("siltmark.pictures")

CHUNK_BYTES = 1024 * 1024
NO_ROOM = "There is no room left on the disk: make some, then send the picture again."
NOT_REACHED = (
    "The folder of pictures can't be written: see that its disk is there, then send the picture again."
)
NO_LONGER_HELD = "A picture chosen earlier is no longer kept: add it again."
FILES_FIELD, TOKENS_FIELD, ROLE_FIELD = "pictures", "held", "role"


class Upload(Protocol):
    """A file as Django hands it over."""

    name: str | None

    def chunks(self) -> Iterable[bytes]: ...


UploadSource = Upload | Path | BinaryIO


class NoRoom(PictureRefused):
    """The disk is full: nothing is wrong with the picture, and it can be sent again."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A picture that was not taken in, and the sentence saying why."""

    name: str
    why: str

    def __str__(self) -> str:
        return f"{self.name}: {self.why}" if self.name else self.why


@dataclass(slots=True)
class Results:
    """The pictures taken in, and those that were not."""

    taken: list[Photo] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)


@dataclass(slots=True)
class Picked:
    """The held pictures of a form and the ones that were refused."""

    holder: str = ""
    held: list[HeldPicture] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)

    def file_under(self, subject: Model) -> Results:
        """Make them pictures of `subject`."""
        roles = {held.token: held.role for held in self.held}
        return claim(roles, subject, holder=self.holder, roles=roles)


def gather(request: HttpRequest, *, role: str = Photo.Role.DETAIL) -> Picked:
    """Hold every picture sent with the form, and find again those held before, with the roles chosen.

    Nothing a browser sends makes it raise: a refused picture is named in `failed`, an unknown role falls back
    to the one the picture had, a token of another user is passed over.
    """
    picked = Picked(holder=holder_of(request))
    chosen_for_new = known_role(request.POST.get("pictures-role"), role)
    tokens = request.POST.getlist(TOKENS_FIELD)
    for name in getattr(request, "too_large", ()):
        picked.failed.append(Failed(name, too_heavy()))
    for upload in request.FILES.getlist(FILES_FIELD):
        try:
            tokens.append(hold(upload, holder=picked.holder, role=chosen_for_new).token)
        except PictureRefused as refused:
            picked.failed.append(Failed(upload.name or "", refused.why))
    picked.held = held_by(picked.holder, tokens)
    for held in picked.held:
        held.role = known_role(request.POST.get(f"{ROLE_FIELD}-{held.token}"), held.role)
    return picked


def store(source: UploadSource) -> FileFacts:
    """Keep the original and return what is known of it.

    Raises PictureRefused, leaving nothing behind.
    """
    try:
        with files.arriving(chunks_of(source), max_bytes=settings.UPLOAD_MAX_BYTES) as (path, sha256, length):
            seen = in_turn(examine, path, max_pixels=settings.PICTURE_MAX_PIXELS)
            files.keep_original(path, sha256, seen.format)
    except files.TooLarge:
        raise PictureRefused(too_heavy()) from None
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise NoRoom(NO_ROOM) from None
        log.exception("a picture could not be kept")
        raise PictureRefused(NOT_REACHED) from None
    latitude, longitude = seen.notes.position or (None, None)
    return FileFacts(
        sha256=sha256,
        format=seen.format,
        bytes=length,
        width=seen.width,
        height=seen.height,
        original_name=shown_name(source),
        taken_at=seen.notes.taken_at,
        taken_offset_min=seen.notes.offset_min,
        camera=seen.notes.camera,
        latitude=latitude,
        longitude=longitude,
    )


def position_noted_in(source: UploadSource) -> tuple[float, float] | None:
    """Where the camera was by the picture's own note, latitude and longitude in degrees; nothing is kept.

    None where it does not say. Raises PictureRefused.
    """
    try:
        with files.arriving(chunks_of(source), max_bytes=settings.UPLOAD_MAX_BYTES) as (path, _, _):
            return in_turn(examine, path, max_pixels=settings.PICTURE_MAX_PIXELS).notes.position
    except files.TooLarge:
        raise PictureRefused(too_heavy()) from None
    except OSError:
        log.exception("a picture could not be looked at")
        raise PictureRefused(NOT_REACHED) from None


def too_heavy() -> str:
    """The sentence for a file past the byte limit."""
    limit = settings.UPLOAD_MAX_BYTES // (1024 * 1024)
    return f"This file is larger than {limit} MB: send a smaller copy of it."


def shown_name(source: UploadSource) -> str:
    """The name the file came with, as text to show; it is never used on disk."""
    named = str(getattr(source, "name", "") or "")
    last = os.path.basename(named.replace("\\", "/"))
    return "".join(c for c in last if c.isprintable())[:NAME_LENGTH]


def chunks_of(source: UploadSource) -> Iterator[bytes]:
    """The bytes in pieces, from the beginning."""
    if isinstance(source, Path):
        with source.open("rb") as file:
            yield from iter(lambda: file.read(CHUNK_BYTES), b"")
    elif hasattr(source, "chunks"):
        yield from source.chunks()
    else:
        yield from iter(lambda: source.read(CHUNK_BYTES), b"")


def take_in(upload: UploadSource, *, subject: Model, role: str = Photo.Role.DETAIL, **about: object) -> Photo:
    """Keep a picture of `subject`; `about` may be caption, credit, licence, source, opened.

    The same picture of the same subject is kept once: the one already there comes back, out of the bin if it
    was in it. Raises PictureRefused with one sentence, and then nothing is kept.
    """
    # Looked at first: a mistake of the caller's must not leave a file behind.
    Photo.subject_name(subject)
    role = Photo.Role(role)
    return file_under(subject, store(upload), role=role, **about)


@transaction.atomic
def file_under(subject: Model, facts: FileFacts, *, role: str = Photo.Role.DETAIL, **about: object) -> Photo:
    """Write the row for a stored picture, unless the subject has it. Raises ValueError for no role."""
    role, name = Photo.Role(role), Photo.subject_name(subject)
    # Two uploads for one subject take turns, so that neither doubles a picture nor shares a place.
    type(subject)._base_manager.select_for_update().get(pk=subject.pk)
    of_subject = Photo.everything.of(subject)
    there = of_subject.filter(sha256=facts["sha256"]).order_by(F("binned_at").desc(nulls_last=True), "pk")
    known: Photo | None = there.filter(binned_at__isnull=True).first() or there.first()
    if known is not None:
        if known.binned_at is not None:
            known.take_out_of_bin()
        return known
    last = of_subject.aggregate(last=Max("order"))["last"] or 0
    photo = Photo(role=role, order=last + 1, **facts, **about)
    setattr(photo, name, subject)
    photo.sizes_made = sizes_soon(photo.sha256, photo.format)
    photo.save()
    return photo


def holder_of(request: HttpRequest) -> str:
    """Whose held pictures a request may see. The user's own, so that they outlast a sign-in that ended."""
    return f"user-{request.user.pk}" if request.user.is_authenticated else ""


def hold(upload: UploadSource, *, holder: str, role: str = Photo.Role.DETAIL) -> HeldPicture:
    """Keep a picture for `holder` (see `holder_of`) until it is claimed. Raises PictureRefused.

    The same picture sent again by the same user is the one already held.
    """
    facts = store(upload)
    # Where fifty send pictures at once to a slow machine, some waited outside until SQLite gave up.
    with in_turn_of_forms():
        held, _ = HeldPicture.objects.get_or_create(
            holder=holder, sha256=facts["sha256"], defaults={**facts, "role": Photo.Role(role)}
        )
    return held


def held_by(holder: str, tokens: Iterable[str]) -> list[HeldPicture]:
    """The held pictures of those tokens that are this holder's, in the order of the tokens, each once."""
    order = list(dict.fromkeys(tokens))
    found = {held.token: held for held in HeldPicture.objects.filter(holder=holder, token__in=order)}
    return [found[token] for token in order if token in found]


@transaction.atomic
def claim(
    tokens: Iterable[str], subject: Model, *, holder: str, roles: Mapping[str, str] | None = None
) -> Results:
    """Make held pictures pictures of `subject`; `roles` says token by token what each shows.

    A token that is unknown, swept or another user's is named among the failed. Raises ValueError for a
    role that there is not, with nothing claimed.
    """
    tokens, roles = list(dict.fromkeys(tokens)), roles or {}
    results = Results()
    for held in held_by(holder, tokens):
        role = roles.get(held.token) or held.role
        results.taken.append(file_under(subject, held.facts(), role=role))
        held.delete()
    missing = len(tokens) - len(results.taken)
    results.failed.extend(Failed("", NO_LONGER_HELD) for _ in range(missing))
    return results


def let_go(token: str, *, holder: str) -> bool:
    """Take a picture out of a form again; its file is set aside later. False where there was none."""
    gone, _ = HeldPicture.objects.filter(token=token, holder=holder).delete()
    return bool(gone)


def known_role(value: str | None, otherwise: str) -> str:
    """The value, if it is a role; else `otherwise`."""
    return value if value in Photo.Role.values else otherwise
