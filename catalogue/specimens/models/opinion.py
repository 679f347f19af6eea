"""What somebody thinks, and thought before."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH, not_in_future
from catalogue.common.records import Record
from catalogue.people.models import Person

from .specimen import Specimen
from .trade import Bottler, Maker, Product, Works


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
