"""The trade behind a bottle: towns it was sold in, makers, bottlers and their products."""

from typing import Any, ClassVar, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, sensible_year
from catalogue.common.records import LiveManager, Record, RecordQuerySet, resting
from catalogue.specimens.place_keys import place_key
from catalogue.specimens.year_words import business_words

from .words import Certainty, Contents


class Town(Record):
    """Where a bottler sold, not where the glass was made."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    region = models.CharField("state or county", max_length=100, blank=True)
    country = models.CharField(max_length=2, blank=True, help_text="Two letters, such as US or GB.")
    latitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)]
    )
    longitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    from_gazetteer = models.BooleanField(default=False, editable=False)
    # What its spellings have in common: a typed name is looked up by it.
    key = models.CharField(max_length=NAME_LENGTH, blank=True, editable=False, db_index=True)
    # The lists of towns (`town_files.store.lists_version`) of which it is none: asked again with others.
    none_of = models.CharField(max_length=64, blank=True, editable=False)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    ADDS = ("notes",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "region"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "region", "country"],
                condition=Q(binned_at__isnull=True),
                name="town_once",
                violation_error_message="That town is already in the catalogue.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.region}" if self.region else self.name

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it with the key of its name."""
        self.key = self.key_now()
        if (fields := kwargs.get("update_fields")) and "name" in fields:
            kwargs["update_fields"] = {*fields, "key"}
        super().save(*args, **kwargs)

    def key_now(self) -> str:
        """The key that goes with its name."""
        return place_key(self.name)[:NAME_LENGTH]

    def get_absolute_url(self) -> str:
        return reverse("towns:town", args=[self.slug])


class MakerQuerySet(RecordQuerySet["Maker"]):
    def own(self) -> Self:
        return self.filter(reference_key="")

    def published(self) -> Self:
        return self.exclude(reference_key="")

    def own_named(self, name: str) -> Self:
        """Makers of one's own that bear this name."""
        return self.own().filter(name__iexact=" ".join(name.split()))


LiveMakerManager = LiveManager.from_queryset(MakerQuerySet)
WholeMakerManager = models.Manager.from_queryset(MakerQuerySet)


class Maker(Record):
    """A glassmaker. `reference_key` is filled for one that comes with the published tables."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    place = models.CharField("where", max_length=NAME_LENGTH, blank=True)
    country = models.CharField(max_length=2, blank=True, help_text="Two letters, such as US or GB.")
    from_year = models.PositiveSmallIntegerField(
        "in business from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField(
        "in business to", null=True, blank=True, validators=[sensible_year]
    )
    followed = models.ForeignKey(
        "self",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="followed_by",
        verbose_name="took over from",
    )
    source = models.CharField(max_length=500, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    # Whether its missing years are listed; where nobody said, those of makers with pieces are.
    look_for_years = models.BooleanField(null=True, editable=False)
    reference_key = models.CharField(max_length=300, blank=True, editable=False)
    history = HistoricalRecords()

    # Not stored: how many finds changed their phrase when it was last kept in this process.
    rephrased: int = 0

    TAKES: ClassVar = {("from_year", "to_year"): ("source",), ("followed",): ()}
    ADDS = ("notes",)

    objects: ClassVar = LiveMakerManager()
    everything: ClassVar = WholeMakerManager()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["reference_key"], condition=~Q(reference_key=""), name="maker_once_from_the_tables"
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="maker_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("makers:maker", args=[self.slug])

    @property
    def is_own(self) -> bool:
        return not self.reference_key

    def namesake(self, besides: "Maker | None" = None) -> "Maker | None":
        """Another maker of one's own of its name: of these alone only one may bear it, however written."""
        if not self.is_own:
            return None
        keys = [self.pk, besides.pk] if besides else [self.pk]
        return Maker.objects.own_named(self.name).exclude(pk__in=keys).order_by("pk").first()

    def why_not_merged(self, gone: "Maker") -> str:
        if gone.reference_key:
            return f"{gone} is from the published tables and stays: merge one of your own into it instead."
        earlier, seen = self.followed, {self.pk}
        while earlier is not None and earlier.pk not in seen:
            if earlier.pk == gone.pk:
                return f"{self} took over from {gone}, so it would follow itself: take that out first."
            seen.add(earlier.pk)
            earlier = earlier.followed
        return ""


class Bottler(Record):
    """A firm that filled and sold; its years in business are evidence."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    town = models.ForeignKey(Town, on_delete=models.SET_NULL, null=True, blank=True, related_name="bottlers")
    from_year = models.PositiveSmallIntegerField(
        "in business from", null=True, blank=True, validators=[sensible_year]
    )
    to_year = models.PositiveSmallIntegerField(
        "in business to", null=True, blank=True, validators=[sensible_year]
    )
    years_certainty = models.CharField("how sure", max_length=8, choices=Certainty, default=Certainty.CERTAIN)
    source = models.CharField(max_length=500, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    TAKES: ClassVar = {("from_year", "to_year"): ("years_certainty", "source"), ("town",): ()}
    ADDS = ("notes",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "town"],
                condition=Q(binned_at__isnull=True),
                name="bottler_once_in_a_town",
                violation_error_message="There is already a bottler of that name there.",
            ),
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(town__isnull=True, binned_at__isnull=True),
                name="bottler_once_without_a_town",
                violation_error_message="There is already a bottler of that name.",
            ),
            models.CheckConstraint(
                condition=Q(from_year__isnull=True)
                | Q(to_year__isnull=True)
                | Q(to_year__gte=F("from_year")),
                name="bottler_ends_after_it_begins",
                violation_error_message="The last year is before the first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("bottlers:bottler", args=[self.slug])

    def why_needed(self) -> str:
        finds = resting(self.finds.count(), "find", "finds")
        codes = resting(self.codes.count(), "code", "codes")
        what = " and ".join(filter(None, [finds, codes]))
        return what and f"{self} stays, as it is named by {what}. Give them another bottler first, or none."

    @property
    def business_words(self) -> str:
        """Its years in business; empty where they are not on record."""
        return business_words(self.from_year, self.to_year)


class Product(Record):
    """What was sold in it, by name."""

    name = models.CharField(max_length=NAME_LENGTH)
    slug = models.SlugField(max_length=100, unique=True, allow_unicode=True, editable=False)
    bottler = models.ForeignKey(
        Bottler, on_delete=models.SET_NULL, null=True, blank=True, related_name="products"
    )
    contents = models.CharField(max_length=10, choices=Contents, blank=True)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    TAKES: ClassVar = {("bottler",): (), ("contents",): ()}
    ADDS = ("notes",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "bottler"],
                condition=Q(binned_at__isnull=True),
                name="product_once_for_a_bottler",
            ),
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(bottler__isnull=True, binned_at__isnull=True),
                name="product_once_without_a_bottler",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("products:product", args=[self.slug])

    def why_needed(self) -> str:
        finds = resting(self.finds.count(), "find", "finds")
        codes = resting(self.codes.count(), "code", "codes")
        what = " and ".join(filter(None, [finds, codes]))
        return what and f"{self} stays, as it is named by {what}. Give them another product first, or none."
