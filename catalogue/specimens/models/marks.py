"""A maker's mark that the user adds, in the columns of the published table."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NOTE_LENGTH, sensible_year
from catalogue.common.records import Record

from .trade import Maker


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
        ordering = ["from_year", "pk"]
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
