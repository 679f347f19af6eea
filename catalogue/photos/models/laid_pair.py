"""Two pictures of a find laid on each other: the marks tapped in both, from which the rest follows."""

import hashlib
import json

from django.db import models

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
