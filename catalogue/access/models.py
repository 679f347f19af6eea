"""The catalogue's own id, keys that open it, and the wrong passwords and keys that were tried."""

from django.db import models

from catalogue.common.limits import NAME_LENGTH


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


class ApiKey(models.Model):
    """A key that one of the owner's own programs reads the catalogue with. Only its digest is kept."""

    class Sees(models.TextChoices):
        PUBLIC = "public", "what visitors may see"
        WHOLE = "whole", "everything"

    name = models.CharField("what it is for", max_length=NAME_LENGTH)
    digest = models.CharField(max_length=64, unique=True)
    sees = models.CharField("what it sees", max_length=6, choices=Sees, default=Sees.PUBLIC)
    created = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField("last used", null=True, blank=True)
    # An ended one stays, so that the program that still sends it is told so and not that it is unknown.
    ended_at = models.DateTimeField(null=True, blank=True)
    # Requests since then, so that the limit holds over all processes and after a start (`count_a_request`).
    counted_since = models.DateTimeField(null=True, blank=True)
    counted = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-created", "-pk"]

    def __str__(self) -> str:
        return self.name


class WrongTry(models.Model):
    """A try at the door that failed, or whose answer is still out."""

    address = models.GenericIPAddressField()
    # Index: the tries of the last minutes are counted before each new one.
    at = models.DateTimeField(db_index=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.address}, {self.at:%Y-%m-%d %H:%M}"


class WrongPassword(WrongTry):
    """A try at the owner's password."""


class WrongKey(WrongTry):
    """A key that opens nothing: of a link, of a phone to pair, of a program."""
