"""The series that catalogue numbers are drawn from."""

from django.db import models


class NumberSeries(models.Model):
    """The last piece number given under a year and a dive's ordinal (0 where the dive is not known).

    It only ever grows, so a number is never given twice, also after its find is deleted for good.
    """

    year = models.PositiveSmallIntegerField()
    ordinal = models.PositiveIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        verbose_name_plural = "number series"
        constraints = [models.UniqueConstraint(fields=["year", "ordinal"], name="number_series_once")]

    def __str__(self) -> str:
        return f"{self.year}.{self.ordinal}.{self.last}"
