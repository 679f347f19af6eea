"""Sites, dives with the ordinals they are given, and on what grounds things are taken."""

from datetime import date
from pathlib import PurePosixPath
from typing import ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, at_most, not_in_future, not_negative
from catalogue.common.records import LiveManager, Record, RecordQuerySet, resting
from catalogue.people.models import Person

from .dangers import UNTOUCHED, danger_lines


class Site(Record):
    """A place under water, whose bed it is, and what weighs on taking things from it."""

    class ShowAs(models.TextChoices):
        HIDDEN = "hidden", "hidden"
        ROUNDED = "rounded", "rounded to 0.1°"
        EXACT = "exact", "exact"

    class Known(models.TextChoices):
        UNKNOWN = "unknown", "not recorded"
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
    dangers = models.JSONField("hazards of diving there", default=list, blank=True)
    dangers_words = models.TextField("hazards in your own words", max_length=NOTE_LENGTH, blank=True)
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
    def danger_lines(self) -> list[str]:
        """What is ticked, in the order of the list, then the owner's own words; none for a site without."""
        return danger_lines(self.dangers, self.dangers_words)

    def why_needed(self) -> str:
        dives = resting(self.dives.count(), "dive", "dives")
        finds = resting(self.loose_finds.count(), "find", "finds")
        what = " and ".join(filter(None, [dives, finds]))
        then = "Give them another site or put them in the bin first."
        return what and f"{self} stays, as it has {what}. {then}"

    @property
    def linked(self) -> bool:
        """Whether a wreck or a military link is noted."""
        return self.Known.YES in (self.wreck, self.military)

    @property
    def to_report(self) -> bool:
        """Munition, remains, a wreck or a military link: who finds something there doesn't touch it."""
        return self.linked or bool(UNTOUCHED & set(self.dangers))

    @property
    def holds(self) -> bool:
        """Whether acid, tumbling and giving away wait for a person's decision."""
        return self.linked and not self.hold_cleared_reason


class DiveSeries(models.Model):
    """The last ordinal given in a year; it only grows, so that a lost dive's ordinal is never given again."""

    year = models.PositiveSmallIntegerField(unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.year}: {self.last}"


class DiveQuerySet(RecordQuerySet["Dive"]):
    def latest_first(self) -> Self:
        return self.order_by("-date", "-ordinal")


LiveDiveManager = LiveManager.from_queryset(DiveQuerySet)
WholeDiveManager = models.Manager.from_queryset(DiveQuerySet)


class Dive(Record):
    """One dive at one site; `year` and `ordinal` are fixed once given: finds are numbered by them."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="dives")
    date = models.DateField(validators=[not_in_future])
    year = models.PositiveSmallIntegerField(editable=False)
    ordinal = models.PositiveIntegerField(editable=False)
    start = models.TimeField("went in at", null=True, blank=True)
    minutes = models.PositiveIntegerField(null=True, blank=True, validators=[at_most(1440, "minutes")])
    depth_m = models.DecimalField(
        "greatest depth, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(350, "m")],
    )
    visibility_m = models.DecimalField(
        "visibility, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(100, "m")],
    )
    water_c = models.DecimalField(
        "water, °C",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[at_most(45, "°C")],
    )
    buddies = models.ManyToManyField(Person, blank=True, related_name="dives", verbose_name="with")
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    RESTS_ON = ("site",)
    objects: ClassVar = LiveDiveManager()
    everything: ClassVar = WholeDiveManager()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-date", "-ordinal"]
        constraints = [
            models.UniqueConstraint(fields=["year", "ordinal"], name="dive_ordinal_once_in_a_year"),
            models.CheckConstraint(
                condition=models.Q(depth_m__isnull=True) | models.Q(depth_m__range=(0, 350)),
                name="dive_depth_possible",
            ),
        ]
        indexes = [
            # the dives page and a site's page: latest first
            models.Index(fields=["-date", "-ordinal"], name="dive_latest_first"),
        ]

    def __str__(self) -> str:
        return f"Dive {self.ordinal} of {self.year}, {self.site}"

    def get_absolute_url(self) -> str:
        return reverse("dives:dive", args=[self.year, self.ordinal])

    def why_needed(self) -> str:
        finds = resting(self.finds.count(), "find rests", "finds rest")
        if finds:
            return f"{self} stays, as {finds} on it. Give them another dive or put them in the bin first."
        waiting = resting(self.card_pictures.count(), "picture waits", "pictures wait")
        return waiting and f"{self} stays, as {waiting} on its camera's card. Sort the card first."


class Permission(Record):
    """An answer about taking things, or the fact that nobody was asked yet.

    The catalogue asks, records and warns; it never says that something is lawful.
    """

    class Basis(models.TextChoices):
        OWNER = "owner", "owner's leave"
        PERMIT = "permit", "permit or licence"
        NONE_NEEDED = "none-needed", "authority says none needed"
        WRECK_REPORTED = "wreck-reported", "reported to the wreck authority"
        NOT_ASKED = "not-asked", "not asked yet"

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="permissions")
    basis = models.CharField(max_length=15, choices=Basis)
    authority = models.CharField(max_length=NAME_LENGTH, blank=True)
    reference = models.CharField(max_length=NAME_LENGTH, blank=True)
    asked_on = models.DateField(null=True, blank=True)
    answered_by = models.CharField("who answered", max_length=NAME_LENGTH, blank=True)
    valid_from = models.DateField(null=True, blank=True)
    valid_to = models.DateField(null=True, blank=True)
    conditions = models.TextField(max_length=NOTE_LENGTH, blank=True)
    # Below the folder of files: `papers/…` by its digest, or `permissions/…` from before that.
    file = models.FileField("letter or permit", upload_to="permissions/", blank=True)
    file_came_as = models.CharField("its file's name", max_length=NAME_LENGTH, blank=True, editable=False)
    history = HistoricalRecords()

    RESTS_ON = ("site",)

    class Meta(Record.Meta):
        abstract = False
        ordering = [F("valid_from").desc(nulls_last=True), "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(valid_from__isnull=True)
                | Q(valid_to__isnull=True)
                | Q(valid_to__gte=F("valid_from")),
                name="permission_ends_after_it_begins",
                violation_error_message="The last day is before the first.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_basis_display()}, {self.site}"

    def get_absolute_url(self) -> str:
        return f"{self.site.get_absolute_url()}#asked"

    @property
    def answered(self) -> bool:
        """Whether there is an answer, not only the question."""
        return self.basis != self.Basis.NOT_ASKED

    @property
    def first_day(self) -> date | None:
        """The first day that it covers: without one of its own that on which it was asked for, as no answer
        is older than its question; None for an open side."""
        asked = self.asked_on
        if self.valid_from or asked is None or (self.valid_to and self.valid_to < asked):
            return self.valid_from
        return asked

    @property
    def last_day(self) -> date | None:
        """The last day that it covers; None for no end."""
        return self.valid_to

    @property
    def what(self) -> str:
        """ "owner's leave, Velmoor Harbour Trust, letter 41"."""
        return ", ".join(filter(None, [self.get_basis_display(), self.authority, self.reference]))

    @property
    def paper_name(self) -> str:
        """The name that its letter or permit came with; empty where it has none."""
        return self.file_came_as or PurePosixPath(self.file.name or "").name
