"""What the owner lets visitors read although a site is not shown: a word kept with the piece and the site."""

from django.db import models

from catalogue.common.limits import NOTE_LENGTH
from catalogue.sites.models import Site

from .specimen import Specimen


class ToldSite(models.Model):
    """The words of a find may tell visitors the name of a site that is not shown exactly."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="told_sites")
    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="+")
    why = models.CharField("why visitors may read it", max_length=NOTE_LENGTH)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["find", "site"], name="site_told_once_of_a_find")]

    def __str__(self) -> str:
        return f"{self.find}: {self.site}"
