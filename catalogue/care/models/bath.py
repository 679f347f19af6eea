"""An acid bath, the loads that go through it, what became of each piece, and pictures from the bench."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.care.chemistry import Acid
from catalogue.care.models.treatment import Tool, Treatment
from catalogue.care.models.vessel import Vessel
from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, above_zero, at_most
from catalogue.common.records import Record
from catalogue.photos.models import PictureFacts
from catalogue.specimens.models import Specimen


class Bath(Record):
    """One mixing of acid and water: planned, mixed, used by one load or more, ended."""

    class Ended(models.TextChoices):
        NEUTRALISED = "neutralised", "neutralised, then by the local rules"
        COLLECTED = "collected", "taken to a collecting point"
        NOT_MIXED = "not-mixed", "never mixed"

    vessel = models.ForeignKey(Vessel, on_delete=models.PROTECT, related_name="baths")
    fill_pct = models.PositiveSmallIntegerField(
        "filled to, % of the vessel", default=80, validators=[MinValueValidator(5), MaxValueValidator(90)]
    )
    acid_parts = models.DecimalField(
        "parts of acid",
        max_digits=5,
        decimal_places=1,
        default=15,
        validators=[above_zero, at_most(100, "parts")],
    )
    water_parts = models.DecimalField(
        "parts of water",
        max_digits=5,
        decimal_places=1,
        default=85,
        validators=[above_zero, at_most(1000, "parts")],
    )
    strength_label = models.CharField("strength on the label", max_length=60)
    strength_wt_pct = models.FloatField(editable=False)
    temperature_c = models.DecimalField(
        "water, °C",
        max_digits=4,
        decimal_places=1,
        default=15,
        validators=[MinValueValidator(1, "Ice makes no bath."), at_most(25, "°C: cold water only")],
    )
    strong_reason = models.CharField("why it must be so strong", max_length=NAME_LENGTH, blank=True)
    # As poured, fixed when the first load goes in.
    water_ml = models.FloatField(null=True, blank=True, editable=False)
    acid_ml = models.FloatField(null=True, blank=True, editable=False)
    volume_ml = models.FloatField(null=True, blank=True, editable=False)
    acid_mol = models.FloatField(null=True, blank=True, editable=False)
    mixed_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_how = models.CharField(max_length=12, choices=Ended, blank=True)
    neutralised_with = models.CharField("with what", max_length=NAME_LENGTH, blank=True)
    neutraliser_g = models.DecimalField(
        "how much of it, g",
        max_digits=7,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[at_most(50_000, "g")],
    )
    final_ph = models.DecimalField(
        "pH at the end", max_digits=3, decimal_places=1, null=True, blank=True, validators=[at_most(14, "")]
    )
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True)
                | Q(mixed_at__isnull=True)
                | Q(ended_at__gte=F("mixed_at")),
                name="bath_ends_after_it_is_mixed",
                violation_error_message="It can't end before it was mixed.",
            ),
            models.CheckConstraint(
                condition=Q(mixed_at__isnull=True)
                | Q(acid_ml__gt=0, water_ml__gt=0, volume_ml__gt=0, acid_mol__gt=0),
                name="mixed_bath_has_its_amounts",
            ),
        ]
        indexes = [
            # the bench: baths that are not ended
            models.Index(fields=["ended_at"], name="bath_by_end"),
        ]

    def __str__(self) -> str:
        return f"bath in {self.vessel}"

    @property
    def vessel_taken(self) -> bool:
        """Whether another mixed bath stands in its vessel. One query."""
        mixed = Bath.objects.filter(vessel=self.vessel_id, mixed_at__isnull=False, ended_at=None)
        return mixed.exclude(pk=self.pk).exists()

    @property
    def acid(self) -> Acid | None:
        """What was mixed, before anything was dissolved."""
        if not self.mixed_at or self.volume_ml is None or self.acid_mol is None:
            return None
        return Acid(self.volume_ml, self.acid_mol)


class BathLoad(Record):
    """Pieces that went in together, and when somebody has to look."""

    bath = models.ForeignKey(Bath, on_delete=models.CASCADE, related_name="loads")
    ordinal = models.PositiveSmallIntegerField()
    began_at = models.DateTimeField()
    look_from = models.DateTimeField()
    look_to = models.DateTimeField()
    # The next time somebody looks: `look_from` at first, later as said at each look-in.
    next_look = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["ordinal"]
        constraints = [
            models.UniqueConstraint(fields=["bath", "ordinal"], name="load_once_in_a_bath"),
            models.UniqueConstraint(
                fields=["bath"], condition=Q(ended_at__isnull=True), name="one_load_at_a_time_in_a_bath"
            ),
            models.CheckConstraint(
                condition=Q(look_from__gte=F("began_at"), look_to__gte=F("look_from")),
                name="load_looks_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"load {self.ordinal} of {self.bath}"


class BathLook(Record):
    """Somebody looked in."""

    load = models.ForeignKey(BathLoad, on_delete=models.CASCADE, related_name="looks")
    at = models.DateTimeField(default=timezone.now)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"looked in {self.at:%H:%M}"


class BathMember(Record):
    """A piece in a bath, or chosen for it. Taken out, it has exactly one treatment."""

    class Outcome(models.TextChoices):
        NONE = "none", "no growth left"
        SOME = "some", "some growth left"
        MUCH = "much", "much growth left"

    bath = models.ForeignKey(Bath, on_delete=models.CASCADE, related_name="members")
    load = models.ForeignKey(
        BathLoad, on_delete=models.CASCADE, null=True, blank=True, related_name="members"
    )
    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="bath_members")
    growth_g = models.DecimalField(
        "growth on it, g",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[above_zero, at_most(5000, "g")],
    )
    # Why it goes in although a gate stands before it.
    override_reason = models.TextField(max_length=NOTE_LENGTH, blank=True)
    in_at = models.DateTimeField(null=True, blank=True)
    out_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=4, choices=Outcome, blank=True)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)
    treatment = models.OneToOneField(
        Treatment, on_delete=models.SET_NULL, null=True, blank=True, related_name="bath_member"
    )
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["find"],
                condition=Q(in_at__isnull=False, out_at__isnull=True, binned_at__isnull=True),
                name="piece_in_one_bath_at_once",
            ),
            models.UniqueConstraint(
                fields=["bath", "find"],
                condition=Q(in_at__isnull=True, binned_at__isnull=True),
                name="piece_chosen_once_for_a_bath",
            ),
            models.CheckConstraint(
                condition=Q(out_at__isnull=True) | Q(in_at__isnull=False, out_at__gte=F("in_at")),
                name="piece_comes_out_after_it_went_in",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.find.number} in a bath"


class BenchPhoto(Record, PictureFacts):
    """One picture of one of them; the owner's alone."""

    bath = models.ForeignKey(Bath, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    tool = models.ForeignKey(Tool, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, null=True, blank=True, related_name="photos")
    caption = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(bath__isnull=False, tool__isnull=True, vessel__isnull=True)
                | Q(bath__isnull=True, tool__isnull=False, vessel__isnull=True)
                | Q(bath__isnull=True, tool__isnull=True, vessel__isnull=False),
                name="bench_photo_has_one_subject",
            )
        ]
        indexes = [
            # is any row left that needs this file?
            models.Index(fields=["sha256"], name="bench_photo_by_digest"),
        ]

    def __str__(self) -> str:
        return self.caption or "picture"

    def of_words(self) -> str:
        """What it is a picture of: "White tub, on the bench"."""
        return f"{self.bath or self.tool or self.vessel}, on the bench"
