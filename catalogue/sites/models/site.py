"""A place under water."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, at_most, not_negative
from catalogue.common.records import Record
from catalogue.people.models import Person


class Site(Record):
    """A place under water, whose bed it is, and what weighs on taking things from it."""

    class ShowAs(models.TextChoices):
        HIDDEN = "hidden", "hidden"
        ROUNDED = "rounded", "rounded to 0.1°"
        EXACT = "exact", "exact"

    class Known(models.TextChoices):
        UNKNOWN = "unknown", "unknown"
        YES = "yes", "yes"
        NO = "no", "no"

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    water_body = models.CharField(
        max_length=NAME_LENGTH, blank=True, help_text="The sound, bay, river or lake."
    )
    latitude = models.DecimalField(
        max_digits=8,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-90), MaxValueValidator(90)],
    )
    longitude = models.DecimalField(
        max_digits=9,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(-180), MaxValueValidator(180)],
    )
    uncertainty_m = models.PositiveIntegerField(
        "uncertain by, m", null=True, blank=True, validators=[at_most(100_000, "m")]
    )
    show_as = models.CharField(
        "show its position to visitors as", max_length=8, choices=ShowAs, default=ShowAs.HIDDEN
    )
    bottom = models.CharField(max_length=NAME_LENGTH, blank=True, help_text="Silt, sand, rock, kelp, piles.")
    bed_owner = models.CharField("whose bed it is", max_length=NAME_LENGTH, blank=True)
    tidal = models.CharField(max_length=8, choices=Known, default=Known.UNKNOWN)
    wreck = models.CharField("wreck or debris field", max_length=8, choices=Known, default=Known.UNKNOWN)
    military = models.CharField("military link", max_length=8, choices=Known, default=Known.UNKNOWN)
    protected_check = models.TextField("protected area: what was checked", max_length=NOTE_LENGTH, blank=True)
    protected_checked_on = models.DateField("checked on", null=True, blank=True)
    greatest_depth_m = models.DecimalField(
        "greatest depth, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(350, "m")],
    )
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    # A wreck or a military link holds acid, tumbling and giving away until a person clears it with a reason.
    hold_cleared_reason = models.TextField("why the hold is cleared", max_length=NOTE_LENGTH, blank=True)
    hold_cleared_by = models.ForeignKey(
        Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+", verbose_name="cleared by"
    )
    hold_cleared_on = models.DateField("cleared on", null=True, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__range=(-90, 90), longitude__range=(-180, 180)),
                name="site_position_whole_and_on_earth",
                violation_error_message="Give both latitude and longitude, or neither.",
            ),
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(binned_at__isnull=True),
                name="site_name_once",
                violation_error_message="There is already a site of that name.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("dives:site", args=[self.slug])

    @property
    def holds(self) -> bool:
        """Whether acid, tumbling and giving away wait for a person's decision."""
        linked = self.Known.YES in (self.wreck, self.military)
        return linked and not self.hold_cleared_reason
