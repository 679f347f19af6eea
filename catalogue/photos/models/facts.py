"""What is known of a picture from its file alone."""

from datetime import datetime, timedelta
from datetime import timezone as fixed_zone

from django.db import models

from catalogue.common.limits import NAME_LENGTH


class PictureFacts(models.Model):
    """The file's digest, kind and size, and what the camera wrote into it."""

    # The name on disk is made from the digest; no name from a user reaches the disk.
    sha256 = models.CharField("SHA-256", max_length=64, editable=False)
    format = models.CharField(max_length=5, editable=False)
    bytes = models.PositiveBigIntegerField(editable=False)
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    original_name = models.CharField(max_length=NAME_LENGTH, blank=True, editable=False)
    taken_at = models.DateTimeField(null=True, blank=True)
    # Minutes from UTC where the camera said so; null = the camera's local time, zone unknown
    taken_offset_min = models.SmallIntegerField(null=True, blank=True)
    camera = models.CharField(max_length=NAME_LENGTH, blank=True)
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)

    class Meta:
        abstract = True

    FACTS = (
        "sha256",
        "format",
        "bytes",
        "width",
        "height",
        "original_name",
        "taken_at",
        "taken_offset_min",
        "camera",
        "latitude",
        "longitude",
    )

    def facts(self) -> dict[str, object]:
        """The columns above, for handing them to another row."""
        return {name: getattr(self, name) for name in self.FACTS}

    def of_words(self) -> str:
        """What it is a picture of, for a list of pictures of all rooms."""
        return f"{self._meta.verbose_name}, {self}"

    @property
    def taken_on_the_spot(self) -> datetime | None:
        """The time as the camera's own clock showed it, without a zone.

        Without a known zone the clock's figures are kept as if they were UTC, so that they read the same
        wherever the catalogue is opened later.
        """
        if self.taken_at is None:
            return None
        zone = fixed_zone(timedelta(minutes=self.taken_offset_min or 0))
        return self.taken_at.astimezone(zone).replace(tzinfo=None)

    @property
    def position(self) -> tuple[float, float] | None:
        """Latitude and longitude in degrees, or None."""
        if self.latitude is None or self.longitude is None:
            return None
        return self.latitude, self.longitude
