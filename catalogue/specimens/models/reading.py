"""What was read and seen on a find, and what is thought or known of it: the rows that it is dated by."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future, sensible_year
from catalogue.common.records import Record
from catalogue.people.models import Person

from .specimen import Specimen
from .trade import Bottler, Maker, Product
from .words import Certainty, Where
from .works import Works


class MarkReading(Record):
    """Letters, symbol, frame and what stands around them.

    A character field is null where nobody looked, empty where somebody looked and there was nothing,
    and "?" where something is there that can't be read. The same holds for `frame` and `arrangement`
    (null = not looked) and `symbol` ("" = none there).
    """

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="readings")
    where = models.CharField(max_length=10, choices=Where, default=Where.BASE)
    letters = models.CharField(max_length=60, blank=True)
    symbol = models.CharField(max_length=40, null=True, blank=True)
    frame = models.CharField(max_length=30, null=True, blank=True)
    arrangement = models.CharField(max_length=30, null=True, blank=True)
    left = models.CharField(max_length=20, null=True, blank=True)
    right = models.CharField(max_length=20, null=True, blank=True)
    above = models.CharField(max_length=20, null=True, blank=True)
    below = models.CharField(max_length=20, null=True, blank=True)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        parts = [self.left, self.letters or self.symbol, self.right]
        return " ".join(part for part in parts if part)


class Inscription(Record):
    """Text as read: `/` a line break, `[..]` unread, `?` doubtful."""

    class How(models.TextChoices):
        EMBOSSED = "embossed", "embossed"
        FIRED = "fired", "fired label"
        GHOST = "ghost", "ghost of a fired label"
        PAPER = "paper", "paper label"
        ETCHED = "etched", "etched"

    class Says(models.TextChoices):
        MARK = "mark", "maker's mark"
        TOWN = "town", "town"
        BOTTLER = "bottler", "bottler"
        PRODUCT = "product", "product"
        CODE = "code", "date code"
        LEGAL = "legal", "legal wording"
        OTHER = "other", "other"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="inscriptions")
    where = models.CharField(max_length=10, choices=Where, default=Where.BODY)
    how = models.CharField("how made", max_length=10, choices=How, default=How.EMBOSSED)
    text = models.CharField("as read", max_length=1000)
    says = models.CharField("what it is", max_length=10, choices=Says, default=Says.OTHER)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.text


class ObservedFeature(Record):
    """A feature of the published table, seen on this find."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="features")
    feature = models.CharField(max_length=60)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["find", "feature"], name="feature_once_on_a_find")]

    def __str__(self) -> str:
        return self.feature


class KnownYears(Record):
    """ "Not before", "not after", a dated event: said by whom."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="known_years")
    what = models.CharField(max_length=NAME_LENGTH)
    from_year = models.PositiveSmallIntegerField(
        "not before", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField("not after", null=True, blank=True, validators=[sensible_year])
    edtf = models.CharField("years as written", max_length=60, blank=True)
    certainty = models.CharField(max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    source = models.CharField(max_length=500, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(from_year__isnull=False) | Q(to_year__isnull=False) | ~Q(edtf=""),
                name="known_years_has_a_year",
                violation_error_message="Give at least one year.",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="known_years_in_order",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.what


class Opinion(Record):
    """One opinion; the current one of its subject, earlier ones stay.

    An opinion on the maker restricts the candidates of a mark reading; one on "made" stands beside the
    computed window and never feeds it.
    """

    class About(models.TextChoices):
        MAKER = "maker", "maker"
        WORKS = "works", "works"
        BOTTLER = "bottler", "bottler"
        PRODUCT = "product", "product"
        MADE = "made", "made"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="opinions")
    about = models.CharField("what for", max_length=10, choices=About)
    value = models.CharField(max_length=NAME_LENGTH)
    maker = models.ForeignKey(Maker, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    works = models.ForeignKey(Works, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    bottler = models.ForeignKey(Bottler, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    product = models.ForeignKey(Product, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    on = models.DateField(validators=[not_in_future])
    reason = models.TextField(max_length=NOTE_LENGTH, blank=True)
    source = models.CharField(max_length=500, blank=True)
    current = models.BooleanField(default=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]
        constraints = [
            # What it leads to is what it is about; a name that leads to nothing stays as words.
            models.CheckConstraint(
                condition=(Q(about="maker") | Q(maker__isnull=True))
                & (Q(about="works") | Q(works__isnull=True))
                & (Q(about="bottler") | Q(bottler__isnull=True))
                & (Q(about="product") | Q(product__isnull=True)),
                name="opinion_leads_to_its_subject",
                violation_error_message="An opinion leads only to what it is about.",
            ),
            models.UniqueConstraint(
                fields=["find", "about"],
                condition=Q(current=True, binned_at__isnull=True),
                name="one_current_opinion",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_about_display()}: {self.value}"
