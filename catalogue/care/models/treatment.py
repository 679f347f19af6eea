"""What was done to a find."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen_words import Look


class Treatment(Record):
    """One treatment. What was in fact done can always be logged, also what should not be done again."""

    class Method(models.TextChoices):
        SOAK = "soak", "fresh-water soak"
        SCRAPE = "scrape", "scraping"
        SOAP = "soap-brush", "soap and brush"
        DETAIL = "detail", "detailed cleaning"
        VINEGAR = "vinegar", "vinegar soak"
        CITRIC = "citric", "citric acid soak"
        ACID = "acid-bath", "acid bath"
        NEUTRALISE = "neutralise", "neutralising rinse"
        DRY = "dry", "drying"
        DUST = "dust", "dusting"
        TUMBLE = "tumble", "tumbling"
        PEROXIDE = "peroxide", "peroxide"
        BLEACH = "bleach", "bleach"
        OTHER = "other", "other"

    class Result(models.TextChoices):
        CLEAN = "clean", "clean"
        BETTER = "better", "better, not finished"
        SAME = "same", "no change"
        HARMED = "harmed", "harmed"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="treatments")
    method = models.CharField(max_length=12, choices=Method)
    look = models.CharField("look aimed at", max_length=12, choices=Look, blank=True)
    agents = models.CharField("with what", max_length=NAME_LENGTH, blank=True)
    strength = models.CharField(max_length=100, blank=True)
    tools = models.CharField("tools, softest first", max_length=NAME_LENGTH, blank=True)
    passes = models.PositiveSmallIntegerField(null=True, blank=True)
    begun = models.DateTimeField()
    ended = models.DateTimeField(null=True, blank=True)
    result = models.CharField(max_length=8, choices=Result, blank=True)
    by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    override_reason = models.TextField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-begun", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended__isnull=True) | Q(ended__gte=F("begun")),
                name="treatment_ends_after_it_begins",
                violation_error_message="It can't end before it began.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_method_display()}, {self.begun:%Y-%m-%d}"
