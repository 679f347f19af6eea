"""The catalogue's own id, keys that open it once, and the wrong passwords that were tried."""

from django.db import models


class CatalogueId(models.Model):
    """The one row that says which catalogue this is; the data folder holds the same id."""

    value = models.CharField(max_length=32)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="catalogue_has_one_id")]

    def __str__(self) -> str:
        return self.value


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
