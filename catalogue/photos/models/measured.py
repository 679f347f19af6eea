"""Calibration of a picture by the scale in it, and sizes of a find measured so, with their uncertainty."""

from django.db import models

from catalogue.common.limits import above_zero, not_negative
from catalogue.specimens.models import Specimen

from .photo import Photo


def share(label: str) -> "models.FloatField[float, float]":
    """A place in the picture in per cent of its width or height: the same in every copy of it."""
    return models.FloatField(label)


class PictureScale(models.Model):
    """Where the scale lies in a picture, and how long it is: tapped once, it serves every size measured."""

    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, related_name="scale")
    left_1 = share("one end, per cent from the left")
    top_1 = share("one end, per cent from the top")
    left_2 = share("other end, per cent from the left")
    top_2 = share("other end, per cent from the top")
    length_mm = models.FloatField("between the ends, mm", validators=[above_zero])
    # A key of `reference/scales.csv`; empty for a ruler.
    coin = models.CharField(max_length=40, blank=True)

    def __str__(self) -> str:
        return f"{self.length_mm:g} mm"


class MeasuredSize(models.Model):
    """How one size of a find was measured. It speaks of what is on record only as long as that is `mm`."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="measured_sizes")
    # "height_mm" and the like
    column = models.CharField(max_length=20)
    mm = models.DecimalField("measured, mm", max_digits=7, decimal_places=1, validators=[above_zero])
    # About 19 of 20 times the true size lies within it.
    error_mm = models.FloatField("give or take, mm", validators=[not_negative])
    photo = models.ForeignKey(Photo, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["find", "column"], name="size_measured_last")]

    def __str__(self) -> str:
        return f"{self.mm:.1f} ± {self.error_mm:.1f} mm"
