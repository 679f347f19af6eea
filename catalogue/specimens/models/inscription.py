"""Lettering on a find."""

from django.db import models
from simple_history.models import HistoricalRecords

from catalogue.common.records import Record

from .specimen import Specimen
from .words import Where


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
