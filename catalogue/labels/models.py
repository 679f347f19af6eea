"""Field tags printed so far; sheets of one's own; where the last print on each sheet ended."""

from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH
from catalogue.common.records import Record

from .cut_sheets import roll_of
from .sheets import LENGTHS, PAGES_MM, Sheet, SheetError
from .tags import TAG_SHEETS

OWN_PAGE = "own"
OWN_SHEET = "own-"


class TagSeries(models.Model):
    """The last number printed under some letters; it only grows, under a lock."""

    letters = models.CharField(max_length=3, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.letters}-{self.last}"


class TagRun(models.Model):
    """Sheets that were printed: tags `first` to `last`. Kept so that a spoiled print can be made again."""

    letters = models.CharField(max_length=3)
    first = models.PositiveIntegerField()
    last = models.PositiveIntegerField()
    page = models.CharField(max_length=6, choices=[(key, key) for key in TAG_SHEETS])
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-created", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["letters", "first"], name="tags_printed_once"),
            models.CheckConstraint(
                condition=models.Q(last__gte=models.F("first")), name="tag_run_is_not_empty"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.letters}-{self.first} to {self.letters}-{self.last}"

    @property
    def tags(self) -> list[str]:
        """Each tag as it is printed."""
        return [f"{self.letters}-{number}" for number in range(self.first, self.last + 1)]


class OwnSheet(Record):
    """A sheet or a roll by its measures, mm. A roll has but its label's width and height."""

    name = models.CharField(max_length=NAME_LENGTH)
    roll = models.BooleanField("a roll, each label a page of its own", default=False)
    page = models.CharField(
        "paper",
        max_length=6,
        choices=[*((key, key) for key in PAGES_MM), (OWN_PAGE, "another size")],
        default="A4",
    )
    page_width_mm = models.FloatField("width of the paper, mm", null=True, blank=True)
    page_height_mm = models.FloatField("height of the paper, mm", null=True, blank=True)
    columns = models.PositiveSmallIntegerField("labels side by side", default=1)
    rows = models.PositiveSmallIntegerField("labels below each other", default=1)
    label_width_mm = models.FloatField("width of a label, mm")
    label_height_mm = models.FloatField("height of a label, mm")
    left_mm = models.FloatField("left edge of the first label, mm", default=0)
    top_mm = models.FloatField("top edge of the first label, mm", default=0)
    pitch_x_mm = models.FloatField("from a label’s left edge to the next one’s, mm", null=True, blank=True)
    pitch_y_mm = models.FloatField("from a label’s top edge to the next one’s, mm", null=True, blank=True)

    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                condition=models.Q(binned_at__isnull=True),
                name="own_sheet_of_a_name",
                violation_error_message="You have a sheet of that name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("labels:own_sheet", args=[self.pk])

    @property
    def key(self) -> str:
        """How a print names it."""
        return f"{OWN_SHEET}{self.pk}"

    @property
    def words(self) -> str:
        """Its measures in short; empty for one that can't be any more."""
        try:
            return self.as_sheet().name.removeprefix(f"{self.name}: ")
        except SheetError:
            return ""

    def as_sheet(self) -> Sheet:
        """The sheet itself. Raises SheetError, with the field at fault, for one that can't be."""
        if self.roll:
            return roll_of(self.key, self.label_width_mm, self.label_height_mm, self.name)
        lengths = {name: getattr(self, name) for name in LENGTHS}
        # Without a gap between them labels lie edge to edge.
        lengths["pitch_x_mm"] = self.pitch_x_mm or self.label_width_mm
        lengths["pitch_y_mm"] = self.pitch_y_mm or self.label_height_mm
        own = self.page == OWN_PAGE
        return Sheet(
            key=self.key,
            page="" if own else self.page,
            columns=self.columns,
            rows=self.rows,
            own_page_mm=(self.page_width_mm or 0.0, self.page_height_mm or 0.0) if own else None,
            title=self.name,
            **lengths,
        )


class SheetUse(models.Model):
    """The sheet of a key as it lies in the printer: its next unused label, and what was printed last."""

    sheet = models.CharField(max_length=40, unique=True)
    next_label = models.PositiveIntegerField(default=1)
    last_from = models.PositiveIntegerField(default=1)
    last_count = models.PositiveIntegerField(default=0)
    # Digests of what was printed last: the same again is a reprint, and takes no further labels.
    prints = models.JSONField(default=list)
    printed_at = models.DateTimeField(null=True, blank=True)
    right_mm = models.FloatField(default=0)
    down_mm = models.FloatField(default=0)

    def __str__(self) -> str:
        return f"{self.sheet} from label {self.next_label}"

    @property
    def last_print(self) -> str:
        """What a page carries of it, so that a print meanwhile is noticed (optimistic lock)."""
        return self.prints[-1] if self.prints else "none"


class KindUse(models.Model):
    """How a kind of label was printed last: on which sheet, with which parts."""

    kind = models.CharField(max_length=20, unique=True)
    sheet = models.CharField(max_length=40)
    parts = models.JSONField(default=list)
    outlines = models.BooleanField(default=False)
    used_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["-used_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.kind} on {self.sheet}"
