"""The find, and the questions the catalogue asks of its finds, in its own words."""

from typing import Any, ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, above_zero, at_most, not_negative
from catalogue.common.records import LiveManager, Record, RecordQuerySet, Row
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.stored_answer import SPREAD_LENGTH, beginnings
from catalogue.specimens.year_words import came_up_words

from .find_indexes import FIND_INDEXES
from .held_back import OPENED, held_back_rows
from .trade import Bottler, Maker, Product, Town
from .twins import TwinGroup
from .words import Colour, Contents, Kind, Lie, Look, MakerHow, Stage, Standing

STANDINGS_GONE = (Standing.HANDED_OVER, Standing.RETURNED, Standing.LEFT, Standing.LOST)


def made_between_rows(first: int | None, last: int | None) -> Q:
    """Finds made, as far as is known, in some year of these, both ends among them; None for an open end.

    A closed window touches them; one of candidate years is among them; else a likely decade touches them.
    """
    first, last = first or 1000, last or 2999
    one_of, likely = Q(), Q()
    for begin in beginnings(first, last):
        one_of |= Q(made_spread__contains=begin)
    for begin in beginnings(first // 10 * 10, last // 10 * 10 + 9):
        likely |= Q(made_decades__contains=begin)
    candidates, window = Q(made_spread__startswith="|"), ~Q(made_spread__contains=":")
    within = Q(made_first__lte=last, made_last__gte=first)
    return within & (window | candidates & one_of | ~candidates & likely)


def dated_between_rows(first: int | None, last: int | None) -> Q:
    """The same of finds that have a year at all: a piece not yet dated answers no search for one."""
    dated = Q(made_from__isnull=False) | Q(made_to__isnull=False) | Q(made_spread__startswith="|")
    return made_between_rows(first, last) & dated


class SpecimenQuerySet(RecordQuerySet[Row]):
    def in_order(self) -> Self:
        """By number, newest first, sorted by its integers (2026.9.1 before 2026.14.1)."""
        return self.order_by("-number_year", "-number_ordinal", "-number_piece", "number_part")

    def free_to_take(self) -> Self:
        return self.filter(standing=Standing.FREE).exclude(held_back_rows())

    def still_here(self) -> Self:
        return self.exclude(standing__in=STANDINGS_GONE)

    def on_the_bench(self) -> Self:
        return self.still_here().exclude(stage=Stage.DONE)

    def from_town(self, town: Town) -> Self:
        return self.filter(town=town)

    def by_maker(self, maker: Maker) -> Self:
        return self.filter(maker=maker)

    def from_site(self, site: Site) -> Self:
        return self.filter(Q(dive__site=site) | Q(dive__isnull=True, site=site))

    def on_shelf(self, place: Place) -> Self:
        return self.filter(place=place)

    def made_between(self, first: int | None, last: int | None) -> Self:
        """Made, as far as is known, in some year of these, both ends among them; None for an open end."""
        return self.filter(made_between_rows(first, last))

    def for_visitors(self) -> Self:
        """What somebody who is not the owner may see."""
        return self.filter(OPENED).exclude(held_back_rows())

    def held_back(self) -> Self:
        return self.filter(OPENED).filter(held_back_rows())

    def with_card_parts(self) -> Self:
        """With what a card shows, in one query; leaves the long texts in the database."""
        return self.select_related("town", "maker", "place", "dive__site", "site").defer("notes", "story")


def size(label: str, limit: int, unit: str = "mm") -> "models.DecimalField[Any, Any]":
    """A measured size with its bounds."""
    return models.DecimalField(
        label,
        max_digits=7,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[above_zero, at_most(limit, unit)],
    )


LiveSpecimenManager = LiveManager.from_queryset(SpecimenQuerySet)
WholeSpecimenManager = models.Manager.from_queryset(SpecimenQuerySet)


class Specimen(Record):
    """A find, from wet lump to shelf; `made_*` is the stored copy of what the dating service says."""

    Stage, Standing, Look, Kind, Colour, Lie = Stage, Standing, Look, Kind, Colour, Lie
    MakerHow, Contents = MakerHow, Contents

    number = models.CharField(max_length=24, unique=True, editable=False)
    number_year = models.PositiveSmallIntegerField(editable=False)
    number_ordinal = models.PositiveIntegerField(editable=False)
    number_piece = models.PositiveIntegerField(editable=False)
    number_part = models.CharField(max_length=1, blank=True, editable=False)
    older_numbers = models.CharField(max_length=NAME_LENGTH, blank=True)
    field_tag = models.CharField(max_length=40, blank=True)

    dive = models.ForeignKey(Dive, on_delete=models.PROTECT, null=True, blank=True, related_name="finds")
    # The site where no dive is on record ("from the ledge, some time in the nineties").
    site = models.ForeignKey(
        Site, on_delete=models.PROTECT, null=True, blank=True, related_name="loose_finds"
    )
    recovered_edtf = models.CharField(
        "recovered about", max_length=40, blank=True, help_text="A year, 199X, 1995~ or 1990/1999."
    )

    what = models.CharField("what it is", max_length=NAME_LENGTH)
    kind = models.CharField("kind of vessel", max_length=12, choices=Kind, blank=True)
    contents = models.CharField("what it held", max_length=10, choices=Contents, blank=True)
    product = models.ForeignKey(
        Product, on_delete=models.SET_NULL, null=True, blank=True, related_name="finds"
    )
    bottler = models.ForeignKey(
        Bottler, on_delete=models.SET_NULL, null=True, blank=True, related_name="finds"
    )
    town = models.ForeignKey(
        Town,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="finds",
        verbose_name="marked for",
    )
    region = models.CharField(
        "where it was made or sold",
        max_length=10,
        blank=True,
        help_text="Regional evidence counts in full only where it fits.",
    )
    maker = models.ForeignKey(
        Maker, on_delete=models.SET_NULL, null=True, blank=True, related_name="finds", editable=False
    )
    maker_how = models.CharField(max_length=8, choices=MakerHow, blank=True, editable=False)
    maker_probability = models.FloatField(null=True, blank=True, editable=False)

    height_mm = size("height, mm", 1500)
    diameter_mm = size("greatest diameter, mm", 1000)
    base_mm = size("base diameter, mm", 1000)
    bore_mm = size("bore, mm", 500)
    mass_g = size("mass, g", 60_000, "g")
    capacity_ml = size("capacity, ml", 60_000, "ml")
    colour = models.CharField(max_length=12, choices=Colour, blank=True)

    where_on_site = models.CharField(max_length=NAME_LENGTH, blank=True)
    depth_m = models.DecimalField(
        "depth, m",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[not_negative, at_most(350, "m")],
    )
    lie = models.CharField("how it lay", max_length=12, choices=Lie, blank=True)
    found_with = models.CharField(max_length=500, blank=True)

    look = models.CharField("look aimed at", max_length=12, choices=Look, blank=True)
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.WET)
    standing = models.CharField(max_length=12, choices=Standing, default=Standing.KEPT)
    place = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True, blank=True, related_name="finds")
    twin_group = models.ForeignKey(
        TwinGroup, on_delete=models.SET_NULL, null=True, blank=True, related_name="finds"
    )
    shared = models.BooleanField("shared with visitors", default=False)
    notes = models.TextField(max_length=NOTE_LENGTH, blank=True)
    story = models.TextField(max_length=NOTE_LENGTH, blank=True)

    made_from = models.SmallIntegerField(null=True, blank=True, editable=False)
    made_to = models.SmallIntegerField(null=True, blank=True, editable=False)
    made_best = models.SmallIntegerField(null=True, blank=True, editable=False)
    made_words = models.CharField("made", max_length=200, blank=True, editable=False)
    made_edtf = models.CharField(max_length=200, blank=True, editable=False)
    # Draws the small ruler: {"years": [...] or null, "curve": [[year, height 0..1], ...]}
    made_ruler = models.JSONField(default=dict, blank=True, editable=False)
    # "|1920|1930|": every decade the window touches, for the decade filter
    made_decades = models.CharField(max_length=400, blank=True, editable=False)
    # First and last year it counts for in a list narrowed by years, and how its one piece spreads over the
    # years when pieces are added up (see `stored_answer`).
    made_first = models.SmallIntegerField(null=True, blank=True, editable=False)
    made_last = models.SmallIntegerField(null=True, blank=True, editable=False)
    made_spread = models.CharField(max_length=SPREAD_LENGTH, blank=True, editable=False)
    made_with = models.CharField("reference tables used", max_length=80, blank=True, editable=False)
    made_in = models.SmallIntegerField("computed in the year", null=True, blank=True, editable=False)

    # "|crack|sealed|": the gates of care that hold of it, as its looks, reports, lettering and site say; what
    # stands under its name in every list is read from it. None until care has worked it out.
    care_flags = models.TextField(null=True, blank=True, default="", editable=False)

    history = HistoricalRecords(
        excluded_fields=["care_flags", "made_ruler", "made_first", "made_last", "made_spread"]
    )

    RESTS_ON = ("dive", "site", "place")
    DERIVED = frozenset({"maker"})
    objects: ClassVar = LiveSpecimenManager()
    everything: ClassVar = WholeSpecimenManager()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-number_year", "-number_ordinal", "-number_piece", "number_part"]
        verbose_name = "find"
        constraints = [
            # A maker is shown by an opinion, or by a chance that is stored with it; else none of the three.
            models.CheckConstraint(
                condition=Q(maker__isnull=True, maker_how="", maker_probability__isnull=True)
                | Q(maker__isnull=False, maker_how=MakerHow.OPINION, maker_probability__isnull=True)
                | Q(maker__isnull=False, maker_how=MakerHow.LIKELY, maker_probability__isnull=False),
                name="find_maker_and_how_agree",
            ),
            models.CheckConstraint(
                condition=Q(dive__isnull=True) | Q(site__isnull=True),
                name="find_has_a_dive_or_a_site",
                violation_error_message="The dive says at which site: leave the site empty.",
            ),
            models.UniqueConstraint(
                fields=["number_year", "number_ordinal", "number_piece", "number_part"],
                name="find_number_once",
            ),
            models.CheckConstraint(
                condition=Q(made_from__isnull=True)
                | Q(made_to__isnull=True)
                | Q(made_to__gte=F("made_from")),
                name="find_window_in_order",
            ),
        ]
        indexes = FIND_INDEXES

    def __str__(self) -> str:
        return f"{self.number} {self.what}"

    def get_absolute_url(self) -> str:
        return reverse("finds:find", args=[self.number])

    @property
    def came_up_words(self) -> str:
        """ "the 1990s": when it came up where no dive is on record."""
        return came_up_words(self.recovered_edtf)

    @property
    def where_found(self) -> Site | None:
        """The site of its dive, else the one noted without a dive."""
        return self.dive.site if self.dive else self.site
