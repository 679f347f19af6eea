"""What every record of the catalogue has: its times, and soft delete: a bin instead of deletion."""

from collections.abc import Callable
from datetime import datetime
from typing import Any, ClassVar, Self, TypeVar

from django.db import IntegrityError, models, transaction
from django.db.models import ProtectedError, Q, UniqueConstraint
from django.utils import timezone

Row = TypeVar("Row", bound=models.Model, covariant=True)
# Told of the rows and of the columns before many are updated at once; returns what to do afterwards.
Follower = Callable[["models.QuerySet[Any]", frozenset[str]], Callable[[], None] | None]
_followers: dict[type[models.Model], list[Follower]] = {}


def follow_updates(model: type[models.Model], follower: Follower) -> None:
    """Have `follower` told of every `update` of many rows of a model, which sends no signal by itself."""
    known = _followers.setdefault(model, [])
    if follower not in known:
        known.append(follower)


class RecordQuerySet(models.QuerySet[Row]):
    """Shared words of every record's query set."""

    def update(self, **values: Any) -> int:
        """Write the same values into every row, and what follows from them, in one transaction."""
        followers = _followers.get(self.model)
        if not followers:
            return super().update(**values)
        columns = frozenset(self.model._meta.get_field(name).name for name in values)
        following = [follow for follower in followers if (follow := follower(self, columns))]
        if not following:
            return super().update(**values)
        with transaction.atomic(using=self.db):
            count = super().update(**values)
            for follow in following:
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


class PutInBinMeanwhile(IntegrityError):
    """What a row was to rest on was put in the bin since its form was checked; nothing may be kept.

    An integrity error, so that a posted form is checked once more (`keep_once`) and says it by its field.
    """


class Record(models.Model):
    """Times of creation and change, and a place in the bin."""

    # Columns of the records without which this one makes no sense: it comes back only where they are.
    RESTS_ON: ClassVar[tuple[str, ...]] = ()
    # What a merge does with the columns of the two: groups that are taken over where they are all blank on
    # the one kept, each with what goes along (how sure, and where it is known from); columns whose words are
    # added to it; and columns that are worked out and follow anyway.
    TAKES: ClassVar[dict[tuple[str, ...], tuple[str, ...]]] = {}
    ADDS: ClassVar[tuple[str, ...]] = ()
    DERIVED: ClassVar[frozenset[str]] = frozenset()

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

    def why_not_merged(self, gone: Any) -> str:
        """Why `gone`, one of its kind, can't be merged into it, in a sentence; empty where it can."""
        return ""

    def why_not_parted(self) -> str:
        """Why no merge into it can be undone, in a sentence; empty where it can."""
        return ""

    @transaction.atomic
    def put_in_bin(self) -> None:
        """Out of sight, not gone: `take_out_of_bin` undoes it. Raises StillNeeded.

        The row is locked first: whoever is about to rest another on it (`hold_below`) goes before or after.
        """
        if type(self).why_needed is not Record.why_needed:
            _binned_at_locked(type(self), self.pk)
        if why := self.why_needed():
            raise StillNeeded(why)
        self.binned_at = timezone.now()
        self.save(update_fields=["binned_at", "changed"])

    def namesake(self, besides: Self | None = None) -> Self | None:
        """Another of its kind, not in the bin, that bears its name where only one may; never `besides`.

        Where only one may, the constraints of the kind say.
        """
        keys = [self.pk, besides.pk] if besides else [self.pk]
        for constraint in self._meta.constraints:
            if isinstance(constraint, UniqueConstraint) and "name" in constraint.fields:
                among = constraint.condition or Q()
                # Of a bottler without a town only those without one are asked, as its condition says.
                lookups = [str(each[0]) for each in among.children if isinstance(each, tuple)]
                beside = {lookup.split("__")[0] for lookup in lookups}
                same = {name: getattr(self, name) for name in {*constraint.fields, *beside} - {"binned_at"}}
                if any(same[name] is None for name in constraint.fields):
                    continue
                others: models.QuerySet[Self] = type(self).objects.filter(among, **same)
                if other := others.exclude(pk__in=keys).first():
                    return other
        return None

    def why_not_back(self, besides: Self | None = None) -> str:
        """Why it can't come back, out of the bin or to an earlier name, and what to do first, in a sentence;
        empty where it can. `besides`: one that bore its name before, and may go on to.
        """
        other = self.namesake(besides)
        kind = self._meta.verbose_name
        return f"You have another {kind} of the name {other} by now: rename that one first." if other else ""

    @transaction.atomic
    def take_out_of_bin(self, besides: Self | None = None) -> None:
        """Back where it was. Raises StillNeeded where what it rests on lies in the bin itself, or where
        something speaks against it (`why_not_back`).
        """
        for column in self.RESTS_ON:
            below = getattr(self, column)
            if below is not None and _binned_at_locked(type(below), below.pk):
                raise StillNeeded(f"{below} is in the bin too: put that back first.")
        if why := self.why_not_back(besides):
            raise StillNeeded(why)
        self.binned_at = None
        self.save(update_fields=["binned_at", "changed"])

    def save(self, *args: Any, **kwargs: Any) -> None:
        # A partial save still moves the time of change.
        fields = kwargs.get("update_fields")
        if fields is not None:
            kwargs["update_fields"] = {*fields, "changed"}
        super().save(*args, **kwargs)


def _binned_at_locked(model: type[Record], key: int) -> datetime | None:
    """Lock a row until the caller's transaction ends; when it was put in the bin, None where it is live."""
    row = model.everything.filter(pk=key).select_for_update(of=("self",), no_key=True)
    return row.values_list("binned_at", flat=True).first()


def hold_below(record: Record, *columns: str) -> None:
    """Lock what a record is about to rest on by these columns, until the caller's transaction ends.

    Raises PutInBinMeanwhile where one of them lies in the bin.
    """
    for column in columns:
        below: Any = record._meta.get_field(column).related_model
        key = getattr(record, f"{column}_id")
        if key is not None and _binned_at_locked(below, key):
            raise PutInBinMeanwhile(f"the {column} is in the bin")


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
