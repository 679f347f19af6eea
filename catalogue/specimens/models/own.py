"""What the user adds beside the published tables: marks and codes, in the same columns."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, sensible_year
from catalogue.common.records import Record

from .trade import Bottler, Maker, Product
from .words import Contents
from .works import Works


class OwnMark(Record):
    """One variant of a mark. Frames, symbols and arrangements take the values found in the tables."""

    class WindowOf(models.TextChoices):
        MARK = "mark", "the mark's own years"
        FIRM = "firm", "the firm's years (softer)"

    maker = models.ForeignKey(Maker, on_delete=models.CASCADE, related_name="own_marks")
    letters = models.CharField(
        max_length=30, blank=True, help_text="As read, without points: TH. Leave empty for a symbol alone."
    )
    symbol = models.CharField(max_length=40, blank=True)
    frame = models.CharField(max_length=30, default="none")
    arrangement = models.CharField(max_length=30, default="plain")
    text = models.CharField("in words", max_length=200, blank=True)
    from_year = models.PositiveSmallIntegerField(
        "used from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField("used to", null=True, blank=True, validators=[sensible_year])
    from_circa = models.BooleanField("about", default=False)
    to_circa = models.BooleanField("about", default=False)
    window_of = models.CharField(max_length=4, choices=WindowOf, default=WindowOf.MARK)
    found_on = models.CharField(max_length=200, blank=True)
    source = models.CharField(max_length=500, blank=True)
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = [F("from_year").asc(nulls_last=True), "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(letters="") | ~Q(symbol=""),
                name="own_mark_has_letters_or_symbol",
                violation_error_message="Give the letters of the mark, or its symbol.",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="own_mark_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.text or self.letters or self.symbol

    @property
    def key(self) -> str:
        """Its id among the marks of the tables."""
        return f"own-{self.pk}"


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
    history = HistoricalRecords(m2m_fields=["marks"])

    class Meta(Record.Meta):
        abstract = False
        ordering = [F("valid_from").asc(nulls_last=True), "pk"]
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
