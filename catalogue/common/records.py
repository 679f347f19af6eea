"""What every record of the catalogue has: its times, and a bin instead of deletion."""

from typing import Any

from django.db import models
from django.utils import timezone


class RecordQuerySet(models.QuerySet):
    """Shared words of every record's query set."""

    def in_bin(self) -> "RecordQuerySet":
        return self.filter(binned_at__isnull=False)


class LiveManager(models.Manager.from_queryset(RecordQuerySet)):
    """What is not in the bin. Subclasses mix in their own query set with `live_manager`."""

    def get_queryset(self) -> models.QuerySet:
        return super().get_queryset().filter(binned_at__isnull=True)


def live_manager(queryset: type[models.QuerySet]) -> models.Manager:
    """A manager with the words of `queryset` that leaves out what is in the bin."""
    return LiveManager.from_queryset(queryset)()


def whole_manager(queryset: type[models.QuerySet]) -> models.Manager:
    """A manager with the words of `queryset` over every row, the bin included."""
    return models.Manager.from_queryset(queryset)()


class Record(models.Model):
    """Times of creation and change, and a place in the bin."""

    created = models.DateTimeField(auto_now_add=True, editable=False)
    changed = models.DateTimeField(auto_now=True, editable=False)
    binned_at = models.DateTimeField("put in the bin", null=True, blank=True, editable=False)

    objects = LiveManager()
    everything = whole_manager(RecordQuerySet)

    class Meta:
        abstract = True

    def put_in_bin(self) -> None:
        """Out of sight, not gone: `take_out_of_bin` undoes it."""
        self.binned_at = timezone.now()
        self.save(update_fields=["binned_at", "changed"])

    def take_out_of_bin(self) -> None:
        self.binned_at = None
        self.save(update_fields=["binned_at", "changed"])

    def save(self, *args: Any, **kwargs: Any) -> None:
        # A partial save still moves the time of change.
        fields = kwargs.get("update_fields")
        if fields is not None:
            kwargs["update_fields"] = {*fields, "changed"}
        super().save(*args, **kwargs)
