"""The two pictures of a find between which the work lies, and the marks by which they are laid on each other.

The marks are tapped in both pictures; the rest follows from them.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import models
from django.db.models import Model

from catalogue.specimens.models import Specimen

from .photo import Photo

# Per cent from the left and from the top in the earlier picture, then in the later one.
Mark = tuple[float, float, float, float]


class LaidPair(models.Model):
    """The marks by which the picture before lies on the one after; `shown`: the find's page lays them so."""

    find = models.OneToOneField(Specimen, on_delete=models.CASCADE, related_name="laid_pair")
    before = models.ForeignKey(Photo, on_delete=models.CASCADE, related_name="+")
    after = models.ForeignKey(Photo, on_delete=models.CASCADE, related_name="+")
    # A list of `Mark`
    marks = models.JSONField(default=list)
    shown = models.BooleanField(default=True)

    @property
    def version(self) -> str:
        """Another one for other pictures or marks: an address with it can be kept by a browser."""
        said = json.dumps([self.before_id, self.after_id, self.marks])
        return hashlib.sha256(said.encode()).hexdigest()[:12]

    def __str__(self) -> str:
        return f"{self.before_id} on {self.after_id}"


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
