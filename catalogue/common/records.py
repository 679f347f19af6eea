"""What every record of the catalogue has: its times, and soft delete: a bin instead of deletion."""

from collections.abc import Callable
from typing import Any, ClassVar, Self, TypeVar

from django.db import models, transaction
from django.db.models import ProtectedError
from django.utils import timezone

Row = TypeVar("Row", bound=models.Model, covariant=True)
# Told of the rows and of the columns before many are updated at once; returns what to do afterwards.
Follower = Callable[["models.QuerySet[Any]", frozenset[str]], Callable[[], None] | None]
_followers: dict[type[models.Model], Follower] = {}


def follow_updates(model: type[models.Model], follower: Follower) -> None:
    """Have `follower` told of every `update` of many rows of a model, which sends no signal by itself."""
    _followers[model] = follower


class RecordQuerySet(models.QuerySet[Row]):
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
    update.alters_data = True  # type: ignore[attr-defined]  # functions have no declared attributes

    def in_bin(self) -> Self:
        """What was put in the bin."""
        return self.filter(binned_at__isnull=False)


WholeManager = models.Manager.from_queryset(RecordQuerySet)


class LiveManager(WholeManager[Row]):
    """What is not in the bin.

    A model whose query set has words of its own takes both managers from it, so that its types are known:
    `LiveDives = LiveManager.from_queryset(DiveQuerySet)`, and the same of `models.Manager` with the bin.
    """

    def get_queryset(self) -> models.QuerySet[Row]:
        return super().get_queryset().filter(binned_at__isnull=True)


class StillNeeded(ValueError):
    """It can't go into the bin, or come out of it, as long as others do what the message says."""


class Record(models.Model):
    """Times of creation and change, and a place in the bin."""

    # Columns of the records without which this one makes no sense: it comes back only where they are.
    RESTS_ON: ClassVar[tuple[str, ...]] = ()

    created = models.DateTimeField(auto_now_add=True, editable=False)
    changed = models.DateTimeField(auto_now=True, editable=False)
    binned_at = models.DateTimeField("put in the bin", null=True, blank=True, editable=False)

    objects = LiveManager()
    everything = WholeManager()

    class Meta:
        abstract = True

    def why_needed(self) -> str:
        """What rests on it and what to do first, in a sentence; empty where it can go into the bin."""
        return ""

    @transaction.atomic
    def put_in_bin(self) -> None:
        """Out of sight, not gone: `take_out_of_bin` undoes it. Raises StillNeeded."""
        if why := self.why_needed():
            raise StillNeeded(why)
        self.binned_at = timezone.now()
        self.save(update_fields=["binned_at", "changed"])

    def take_out_of_bin(self) -> None:
        """Back where it was. Raises StillNeeded where what it rests on lies in the bin itself."""
        for column in self.RESTS_ON:
            below = getattr(self, column)
            if below is not None and below.binned_at:
                raise StillNeeded(f"{below} is in the bin too: put that back first.")
        self.binned_at = None
        self.save(update_fields=["binned_at", "changed"])

    def save(self, *args: Any, **kwargs: Any) -> None:
        # A partial save still moves the time of change.
        fields = kwargs.get("update_fields")
        if fields is not None:
            kwargs["update_fields"] = {*fields, "changed"}
        super().save(*args, **kwargs)


def resting(count: int, one: str, many: str) -> str:
    """ "1 find" or "3 finds"; empty for none."""
    return f"{count} {one if count == 1 else many}" if count else ""


@transaction.atomic
def delete_for_good(record: Record) -> None:
    """Delete one record that lies in the bin. Raises ValueError where others need it, or it isn't there.

    A find's number stays used: its series only grows.
    """
    if record.binned_at is None:
        raise ValueError("Put it in the bin first.")
    try:
        record.delete()
    except ProtectedError as error:
        named = sorted({str(obj) for obj in error.protected_objects})
        more = f" and {len(named) - 3} more" if len(named) > 3 else ""
        raise ValueError(f"{record} is still needed by {', '.join(named[:3])}{more}.") from error
