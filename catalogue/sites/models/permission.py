"""On what grounds things may be taken from a site."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from catalogue.common.limits import NAME_LENGTH, NOTE_LENGTH
from catalogue.common.records import Record

from .site import Site


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
    file = models.FileField("letter or permit", upload_to="permissions/", blank=True)
    history = HistoricalRecords()

    class Meta(Record.Meta):
        abstract = False
        ordering = ["-valid_from", "-pk"]
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
