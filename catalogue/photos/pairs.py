"""The two pictures of a find between which the work lies, and whether they are laid on each other."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Model

from .models import LaidPair, Photo


@dataclass(frozen=True, slots=True)
class Pair:
    """The two pictures between which the work lies."""

    before: Photo
    after: Photo

    @property
    def shown(self) -> tuple[Photo, Photo]:
        """In the order that a page shows them: as it is now first."""
        return self.after, self.before


def laid_pair(subject: Model, pair: Pair | None) -> LaidPair | None:
    """The pair's marks, where its two pictures are laid on each other. One query where there is a pair."""
    if pair is None:
        return None
    laid = LaidPair.objects.filter(find=subject.pk, shown=True, before=pair.before, after=pair.after).first()
    if laid is not None:
        laid.before, laid.after = pair.before, pair.after
    return laid


def before_and_after(photos: Iterable[Photo]) -> Pair | None:
    """Before the work (else as found) against after it; None where either is missing.

    A picture before the work often comes from the same place and camera as the one after it.
    """
    by_role: dict[str, Photo] = {}
    for photo in photos:
        by_role.setdefault(photo.role, photo)
    before = by_role.get(Photo.Role.BEFORE) or by_role.get(Photo.Role.AS_FOUND)
    after = by_role.get(Photo.Role.AFTER)
    return Pair(before, after) if before and after else None
