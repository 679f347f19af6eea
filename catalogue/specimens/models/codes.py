"""What the characters beside a maker's mark say, as the user knows it."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, sensible_year
from catalogue.common.records import Record

from .marks import OwnMark
from .trade import Bottler, Maker, Product, Works
from .words import Contents


class OwnCode(Record):
    """One scheme of a maker; it may hold for one bottler, product, contents, region or works only."""

    class Kind(models.TextChoices):
        LAST_DIGIT = "last-digit", "one digit: the last of the year"
        LAST_TWO = "last-two-digits", "two digits: the last two of the year"
        FULL_YEAR = "full-year", "the whole year"
        MONTH_YEAR = "month-year", "month and year"
        LETTER_TABLE = "letter-table", "letters or signs, each its years"
        DOT_TABLE = "dot-table", "dots or lines, each its years"
        WORKS_TABLE = "works-table", "characters for the works, each its years"
        OTHER = "other", "something else: a note, no date"

    class Position(models.TextChoices):
        ANY = "any", "anywhere beside it"
        LEFT = "left", "left"
        RIGHT = "right", "right"
        ABOVE = "above", "above"
        BELOW = "below", "below"
        BASE = "base", "elsewhere on the base"
        HEEL = "heel", "heel"
        SIDE = "side", "side"
        LIP = "lip", "lip"

    maker = models.ForeignKey(Maker, on_delete=models.CASCADE, related_name="own_codes")
    marks = models.ManyToManyField(
        OwnMark, blank=True, related_name="codes", verbose_name="only with these marks"
    )
    kind = models.CharField(max_length=20, choices=Kind)
    position = models.CharField(max_length=6, choices=Position, default=Position.ANY)
    contents = models.CharField("only for", max_length=10, choices=Contents, blank=True)
    bottler = models.ForeignKey(
        Bottler, on_delete=models.CASCADE, null=True, blank=True, related_name="codes"
    )
    product = models.ForeignKey(
        Product, on_delete=models.CASCADE, null=True, blank=True, related_name="codes"
    )
    works = models.ForeignKey(Works, on_delete=models.CASCADE, null=True, blank=True, related_name="codes")
    region = models.CharField(max_length=10, blank=True)
    valid_from = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    valid_to = models.PositiveSmallIntegerField(null=True, blank=True, validators=[sensible_year])
    table = models.TextField(
        max_length=NOTE_LENGTH, blank=True, help_text="Each sign and its years: A=1921; B=1922; C=1923-1925"
    )
    source = models.CharField(max_length=500, blank=True)
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["valid_from", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(valid_from__isnull=True)
                | Q(valid_to__isnull=True)
                | Q(valid_to__gte=F("valid_from")),
                name="own_code_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            )
        ]

    def __str__(self) -> str:
        return self.get_kind_display()

    @property
    def key(self) -> str:
        """Its id among the codes of the tables."""
        return f"own-code-{self.pk}"
