"""What the owner sets once for the whole house, the keys of forms that were kept, and merges of records."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.quantities import Units

UNIT_WORDS = [(Units.METRIC.value, "mm and g"), (Units.INCH.value, "inches and oz")]


def web_address(value: str) -> None:
    """Raises ValidationError for what can't stand before /f/2026.14.3 in a code."""
    plain = value.lower()
    if not plain.startswith(("http://", "https://")) or any(c.isspace() for c in value) or len(value) < 10:
        raise ValidationError("Write it with http:// in front, such as http://192.168.1.20:8737.")


class HouseSettings(models.Model):
    """One row: whose catalogue it is, how to ask for a piece, what address labels carry, whom to call."""

    owner_name = models.CharField(
        "whose catalogue this is",
        max_length=NAME_LENGTH,
        blank=True,
        help_text="Shown to visitors, and on slips.",
    )
    ask_line = models.CharField(
        "how to ask for a piece",
        max_length=500,
        blank=True,
        help_text="Visitors read this beside what is free to take: where you are found, or a telephone.",
    )
    visitors_may_ask = models.BooleanField(
        "visitors may ask for a piece here",
        default=True,
        help_text="With a form on the page of what is free to take. Only you read what they write.",
    )
    label_address = models.CharField(
        "address on labels",
        max_length=60,
        blank=True,
        validators=[web_address],
        help_text="What stands before /f/2026.14.3 in the code. Empty: you are asked when you print labels.",
    )
    label_number_alone = models.BooleanField(default=False, editable=False)

    emergency_lines = models.CharField(
        "poison line and emergency numbers",
        max_length=200,
        blank=True,
        help_text="Your own, as you would call them: shown on the page of first aid and beside a bath.",
    )

    units = models.CharField(
        "sizes and masses",
        max_length=8,
        choices=UNIT_WORDS,
        default=Units.METRIC.value,
        help_text="How they are shown, and what a number without a unit means. Any unit can be typed.",
    )
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "house settings"
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_row_of_house_settings")]

    def __str__(self) -> str:
        return "this catalogue’s settings"

    def get_absolute_url(self) -> str:
        return reverse("settings:house")

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.pk = 1
        self.label_address = self.label_address.rstrip("/")
        super().save(*args, **kwargs)

    @classmethod
    def current(cls) -> "HouseSettings":
        """The one row, unsaved where nothing was set yet."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)


class KeptForm(models.Model):
    """A form that was kept: its idempotency key, written in the transaction of the rows that it made.

    A table of its own, not a column of each kind of row: one form may make a dozen rows of several kinds, or
    change some and make none, and the second sending asks for one thing only, the address it is to lead to.
    """

    key = models.CharField(max_length=40, unique=True)
    # What was sent with it: another content under the same key is no second tap.
    digest = models.CharField(max_length=64)
    address = models.TextField()
    # Index: keys that no page can hold any more are dropped with each new one.
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return f"{self.address}, {self.at:%Y-%m-%d %H:%M}"


class Merge(models.Model):
    """One record taken into another of its kind. The merged one lies in the bin; its address leads on.

    It holds keys and names of columns, never words: people may be merged, and be erased afterwards.
    """

    class Kind(models.TextChoices):
        # By the name of the model.
        TOWN = "town", "town"
        BOTTLER = "bottler", "bottler"
        PRODUCT = "product", "product"
        MAKER = "maker", "maker"
        PERSON = "person", "person"
        # Merged only as part of their makers.
        WORKS = "works", "works"

    kind = models.CharField(max_length=10, choices=Kind)
    gone = models.PositiveBigIntegerField()
    kept = models.PositiveBigIntegerField()
    # The merge by which this one came about: of a bottler that both towns had.
    part_of = models.ForeignKey(
        "self", on_delete=models.CASCADE, null=True, blank=True, related_name="parts", editable=False
    )
    # For each column that moved: model label, column, from which row to which, keys of the rows.
    moved = models.JSONField(default=list)
    # Links of a table between that both had: model label, and the keys of the two ends.
    dropped = models.JSONField(default=list)
    # Columns of the one kept that were blank and took the other's words, or had them added.
    filled = models.JSONField(default=list)
    added = models.JSONField(default=list)
    # Rows of a name that both had, from before they were parts: model label and key.
    doubled = models.JSONField(default=list)
    at = models.DateTimeField(auto_now_add=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        # As it was called before people could be merged: no table is moved for a name.
        db_table = "specimens_merge"
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "gone"], condition=models.Q(undone_at=None), name="merged_once_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.gone} into {self.kept}"


class KeptApart(models.Model):
    """Two records that look like one and are two, as the owner says: no list asks about them again."""

    kind = models.CharField(max_length=10, choices=Merge.Kind)
    # The smaller key first.
    one = models.PositiveBigIntegerField()
    other = models.PositiveBigIntegerField()
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "one", "other"], name="kept_apart_once"),
            models.CheckConstraint(condition=models.Q(one__lt=models.F("other")), name="kept_apart_in_order"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.one} and {self.other}"
