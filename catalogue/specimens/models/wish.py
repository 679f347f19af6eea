"""What the owner is still looking for: in words, of a maker, town, bottler or product, of which years."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, sensible_year
from catalogue.common.records import LiveManager, Record, RecordQuerySet
from catalogue.specimens.year_words import business_words

from .specimen import Specimen
from .trade import Bottler, Maker, Product, Town

# What a wish may be of, in the order in which it is said.
WISHED_OF = ("product", "bottler", "town", "maker")


class WishQuerySet(RecordQuerySet["Wish"]):
    def still_open(self) -> Self:
        """Not struck off."""
        return self.filter(struck_off_at=None)


LiveWishes = LiveManager.from_queryset(WishQuerySet)
WholeWishes = models.Manager.from_queryset(WishQuerySet)


class Wish(Record):
    """One thing looked for. It is struck off by hand, also where a find seems to be it."""

    what = models.CharField(
        "what you look for",
        max_length=NAME_LENGTH,
        blank=True,
        help_text="Such as: the half pint, with its lid.",
    )
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    from_year = models.PositiveSmallIntegerField(
        "made from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField("made to", null=True, blank=True, validators=[sensible_year])
    product = models.ForeignKey(
        Product, on_delete=models.SET_NULL, null=True, blank=True, related_name="wishes"
    )
    bottler = models.ForeignKey(
        Bottler, on_delete=models.SET_NULL, null=True, blank=True, related_name="wishes"
    )
    town = models.ForeignKey(Town, on_delete=models.SET_NULL, null=True, blank=True, related_name="wishes")
    maker = models.ForeignKey(Maker, on_delete=models.SET_NULL, null=True, blank=True, related_name="wishes")
    struck_off_at = models.DateTimeField("struck off", null=True, blank=True, editable=False)
    found = models.ForeignKey(
        Specimen, on_delete=models.SET_NULL, null=True, blank=True, related_name="+", editable=False
    )
    history = HistoricalRecords()

    objects: ClassVar = LiveWishes()
    everything: ClassVar = WholeWishes()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-created", "-pk"]
        verbose_name_plural = "wishes"
        constraints = [
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="wish_years_in_order",
                violation_error_message="The last year is before the first.",
            ),
            models.CheckConstraint(
                condition=Q(struck_off_at__isnull=False) | Q(found__isnull=True),
                name="wish_found_is_struck_off",
            ),
        ]

    def __str__(self) -> str:
        parts = [self.what, *(f"{row}" for row in self.wished_of()), self.years_words]
        return ", ".join(part for part in parts if part) or "something that was deleted"

    def get_absolute_url(self) -> str:
        return reverse("still_looking_for:wish", args=[self.pk])

    def wished_of(self) -> list[Product | Bottler | Town | Maker]:
        """The product, bottler, town and maker that it is of."""
        return [row for name in WISHED_OF if (row := getattr(self, name)) is not None]

    @property
    def years_words(self) -> str:
        """ "1936", "1930 to 1935", "from 1930", "until 1935"; empty where any year will do."""
        return business_words(self.from_year, self.to_year)
