"""Keys that open the catalogue once."""

from django.db import models


class OneTimeKey(models.Model):
    """A key in a link or a QR code: opens once, for a while. Only its digest is kept."""

    class Opens(models.TextChoices):
        OWNER = "owner", "the owner's browser"
        PHONE = "phone", "a phone to pair"

    digest = models.CharField(max_length=64, unique=True)
    opens = models.CharField(max_length=6, choices=Opens)
    created = models.DateTimeField(auto_now_add=True)
    expires = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.get_opens_display()}, {self.created:%Y-%m-%d %H:%M}"
