"""Keys that open the catalogue once, and the wrong passwords that were tried."""

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


class WrongPassword(models.Model):
    """A try at the owner's password that failed, or whose answer is still out."""

    address = models.GenericIPAddressField()
    # Index: the tries of the last minutes are counted before each new one.
    at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"{self.address}, {self.at:%Y-%m-%d %H:%M}"
