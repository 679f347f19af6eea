"""What state a find is in: condition reports, and the look before anything that can't be undone."""

from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future
from catalogue.common.records import Record
from catalogue.people.models import Person
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


class ConditionReport(Record):
    """One look at a find; what was seen is in its damages."""

    class Grade(models.TextChoices):
        SOUND = "sound", "sound"
        WORN = "worn", "worn, sound"
        DAMAGED = "damaged", "damaged, stable"
        FRAGILE = "fragile", "fragile"
        UNSTABLE = "unstable", "unstable: leave wet, ask for advice"

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="condition_reports")
    on = models.DateField(validators=[not_in_future])
    by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    grade = models.CharField(max_length=10, choices=Grade)
    note = models.TextField(max_length=NOTE_LENGTH, blank=True)
    photos = models.ManyToManyField(Photo, blank=True, related_name="+")
    history = HistoricalRecords()

    RESTS_ON = ("find",)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_grade_display()}, {self.on}"

    def get_absolute_url(self) -> str:
        return f"{self.find.get_absolute_url()}#history"


class Damage(Record):
    """One kind of damage (or growth), how far it reaches, and where."""

    class Kind(models.TextChoices):
        CHIP = "chip", "chip"
        CRACK = "crack", "crack"
        FLASH = "flash", "flash (crack inside the glass)"
        SCRATCH = "scratch", "scratches"
        HAZE = "haze", "haze or etching"
        STAIN = "stain", "stain"
        SULPHIDE = "sulphide", "black sulphide stain"
        IRIDESCENT = "iridescent", "iridescence"
        FLAKING = "flaking", "flaking layers"
        CRIZZLING = "crizzling", "crizzling"
        WEEPING = "weeping", "weeping"
        LABEL = "label", "label or decoration worn"
        GROWTH = "growth", "sea growth"
        RUST = "rust", "rust or metal parts"
        REPAIR = "repair", "earlier repair"
        MISSING = "missing", "part missing"
        SEALED = "sealed", "sealed, contents inside"
        MUNITION = "munition", "munition or part of one"
        REMAINS = "remains", "human remains"
        OTHER = "other", "other"

    class Extent(models.TextChoices):
        TRACE = "trace", "a trace"
        LITTLE = "little", "under a tenth"
        SOME = "some", "up to a third"
        MUCH = "much", "more than a third"
        ALL = "all", "all over"

    class Part(models.TextChoices):
        WHOLE = "whole", "all over"
        LIP = "lip", "lip"
        NECK = "neck", "neck"
        SHOULDER = "shoulder", "shoulder"
        BODY = "body", "body"
        BASE = "base", "base"
        INSIDE = "inside", "inside"

    report = models.ForeignKey(ConditionReport, on_delete=models.CASCADE, related_name="damages")
    kind = models.CharField(max_length=12, choices=Kind)
    extent = models.CharField(max_length=8, choices=Extent, default=Extent.SOME)
    part = models.CharField(max_length=10, choices=Part, default=Part.WHOLE)
    note = models.CharField(max_length=NAME_LENGTH, blank=True)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        return ", ".join([self.get_kind_display(), *self.where])

    @property
    def where(self) -> list[str]:
        """The part and how much of it, once where one word says both: "all over"."""
        return list(dict.fromkeys([self.get_part_display(), self.get_extent_display()]))


class HazardReason(Record):
    """Why an act went ahead in spite of a hazard of the piece; `gates` are the hazards that it answers."""

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="hazard_reasons")
    act = models.CharField(max_length=10)
    gates = models.JSONField(default=list)
    reason = models.CharField(max_length=NOTE_LENGTH)
    at = models.DateTimeField(default=timezone.now)

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.act}: {self.reason}"


class Check(Record):
    """Somebody looked for everything that would forbid acid; `found` are the keys of the gates that hold.

    An empty list is an answer too: looked, and nothing there. The latest one counts. One `in_passing` says
    what was noticed while recording, and nothing of what was not looked for.
    """

    find = models.ForeignKey(Specimen, on_delete=models.CASCADE, related_name="checks")
    at = models.DateTimeField(default=timezone.now)
    found = models.JSONField(default=list, blank=True)
    in_passing = models.BooleanField(default=False)
    note = models.CharField(max_length=NOTE_LENGTH, blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return ", ".join(self.found) or "nothing found"
