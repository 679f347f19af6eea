"""What every record of the catalogue has: its times, and a bin instead of deletion."""

from collections.abc import Callable
from typing import Any

from django.db import models, transaction
from django.utils import timezone

# Told of the rows and of the columns before many are updated at once; returns what to do afterwards.
Follower = Callable[["models.QuerySet[Any]", frozenset[str]], Callable[[], None] | None]
_followers: dict[type[models.Model], Follower] = {}


def follow_updates(model: type[models.Model], follower: Follower) -> None:
    """Have `follower` told of every `update` of many rows of a model, which sends no signal by itself."""
    _followers[model] = follower


class RecordQuerySet(models.QuerySet):
    """Shared words of every record's query set."""

    def update(self, **values: Any) -> int:
        """Write the same values into every row, and what follows from them, in one transaction."""
        follower = _followers.get(self.model)
        if follower is None:
            return super().update(**values)
        columns = frozenset(self.model._meta.get_field(name).name for name in values)
        follow = follower(self, columns)
        if follow is None:
            return super().update(**values)
        with transaction.atomic(using=self.db):
            count = super().update(**values)
            follow()
        return count

    # Django refuses to call it from a template.
    update.alters_data = True  # type: ignore[attr-defined]

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
