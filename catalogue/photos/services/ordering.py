"""Roles, order, cover, bin."""

from collections.abc import Mapping, Sequence

from django.db import transaction
from django.db.models import Model

from catalogue.photos.models import Photo, Subject


def set_role(photo: Photo, role: str) -> None:
    """Say what the picture shows. Raises ValueError for a role that there is not."""
    photo.role = Photo.Role(role)
    changed = ["role"]
    if photo.is_cover and not photo.may_be_cover:
        photo.order = 1
        changed.append("order")
    photo.save(update_fields=changed)


@transaction.atomic
def set_roles(subject: Subject, roles: Mapping[int, str]) -> int:
    """Say what pictures of `subject` show, by their keys; how many were changed.

    Raises ValueError, changing none, for a role that there is not.
    """
    others = [
        photo for photo in subject.photos.filter(pk__in=roles) if photo.role != Photo.Role(roles[photo.pk])
    ]
    for photo in others:
        set_role(photo, roles[photo.pk])
    return len(others)


@transaction.atomic
def describe(photo: Photo, changed: Sequence[str]) -> None:
    """Save the columns named in `changed` as they stand on `photo`; a new role as `set_role` does."""
    if "role" in changed:
        set_role(photo, photo.role)
    if words := set(changed) - {"role"}:
        photo.save(update_fields=words)


@transaction.atomic
def set_cover(photo: Photo) -> None:
    """Let this picture stand for its subject. Raises ValueError for one whose role keeps it from that."""
    if not photo.may_be_cover:
        raise ValueError(
            "A plate, a reference picture or a field tag can't stand for the find: choose one of the piece."
        )
    for earlier in Photo.objects.of(photo.subject).filter(order=0).exclude(pk=photo.pk):
        earlier.order = 1
        earlier.save(update_fields=["order"])
    photo.order = 0
    photo.save(update_fields=["order"])


@transaction.atomic
def put_in_order(subject: Model, pks: Sequence[int]) -> None:
    """Order all pictures of a subject. Raises ValueError unless `pks` names each of them once.

    Where a cover was chosen, it is the first from then on.
    """
    photos = {photo.pk: photo for photo in Photo.objects.of(subject).select_for_update()}
    if len(pks) != len(photos) or set(pks) != set(photos):
        raise ValueError("The pictures have changed meanwhile: open the page again.")
    first = 0 if any(photo.is_cover for photo in photos.values()) else 1
    if first == 0 and not photos[pks[0]].may_be_cover:
        first = 1
    for place, pk in enumerate(pks, start=first):
        if photos[pk].order != place:
            photos[pk].order = place
            photos[pk].save(update_fields=["order"])


@transaction.atomic
def move(photo: Photo, steps: int) -> None:
    """Move a picture among its neighbours: -1 is one earlier, 1 one later; it stops at the ends."""
    pks = list(Photo.objects.of(photo.subject).in_order().values_list("pk", flat=True))
    here = pks.index(photo.pk)
    pks.insert(max(0, min(len(pks), here + steps)), pks.pop(here))
    put_in_order(photo.subject, pks)


def put_in_bin(photo: Photo) -> None:
    """Out of sight; its file and row stay until the bin is emptied."""
    photo.put_in_bin()


@transaction.atomic
def take_out_of_bin(photo: Photo) -> Photo:
    """Undo `put_in_bin`. Where the same picture was added again meanwhile, that one comes back."""
    again: Photo | None = Photo.objects.of(photo.subject).filter(sha256=photo.sha256).first()
    if again is not None:
        return again
    photo.take_out_of_bin()
    return photo
