"""Merging two towns that are one: what points at either points at the one kept; undone as one step."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.apps import apps
from django.db import transaction
from django.utils import timezone

from catalogue.common.records import Record
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.models import Bottler, Merge, Product, Town

# Rows that are one where they have one name at one place: merged with what they are of.
NAMED_ONCE: dict[type[Record], str] = {Bottler: "town", Product: "bottler"}


class MergeError(ValueError):
    """These can't be merged, or not be parted again; the message says why. Nothing is changed."""


@dataclass
class _Moving:
    """What moved: model label, column, from which row to which, keys; and rows whose twin was there."""

    moved: list[tuple[str, str, int, int, list[int]]] = field(default_factory=list)
    doubled: list[tuple[str, int]] = field(default_factory=list)


def what_moves(kept: Town, gone: Town) -> list[tuple[str, int]]:
    """Names of kinds of rows, and how many of each would move, without the bin's. Raises MergeError."""
    _may_be_merged(kept, gone)
    counts = []
    for model, column in _pointing_at(Town):
        count = model._default_manager.filter(**{column: gone}).count()
        if count:
            names = model._meta.verbose_name if count == 1 else model._meta.verbose_name_plural
            counts.append((str(names), count))
    return counts


@refreshing()
@transaction.atomic
def merge_towns(kept: Town, gone: Town) -> Merge:
    """Move everything from one town to the other, put the emptied one in the bin, and note how to undo it.

    Bottlers that both towns have by the same name become one, with their products. Raises MergeError.
    """
    # Locked in one order, so that of two merges at once the second finds the first one done.
    locked = {
        town.pk: town
        for town in Town.everything.select_for_update(of=("self",))
        .filter(pk__in=[kept.pk, gone.pk])
        .order_by("pk")
    }
    kept, gone = locked[kept.pk], locked[gone.pk]
    _may_be_merged(kept, gone)
    moving = _Moving()
    _move(kept, gone, moving)
    gone.put_in_bin()
    return Merge.objects.create(
        kind=Merge.Kind.TOWN,
        gone=gone.pk,
        kept=kept.pk,
        moved=moving.moved,
        doubled=moving.doubled,
    )


@refreshing()
@transaction.atomic
def undo_merge(merge: Merge) -> Town:
    """The merged town as it was, with what moved by it, but for rows that were moved elsewhere since.

    Raises MergeError where it was undone before, or where the one kept was merged itself meanwhile.
    """
    merge = Merge.objects.select_for_update().get(pk=merge.pk)
    if merge.undone_at:
        raise MergeError("That was undone already.")
    if into := merged_into(merge.kept):
        raise MergeError(f"It was merged into {into} meanwhile: undo that first.")
    gone = Town.everything.get(pk=merge.gone)
    gone.take_out_of_bin()
    for label, key in merge.doubled:
        apps.get_model(label)._base_manager.get(pk=key).take_out_of_bin()
    for label, column, back, there, keys in reversed(merge.moved):
        rows = _whole(apps.get_model(label)).filter(pk__in=keys, **{column: there})
        rows.update(**{column: back})
    merge.undone_at = timezone.now()
    merge.save(update_fields=["undone_at"])
    return gone


def merged_into(key: int) -> Town | None:
    """The town that the one of that key was merged into, also by way of others; None for one that was not."""
    found = None
    while merge := Merge.objects.filter(kind=Merge.Kind.TOWN, gone=key, undone_at=None).first():
        found, key = Town.everything.filter(pk=merge.kept).first(), merge.kept
    return found


def merges_into(town: Town) -> list[tuple[Merge, Town]]:
    """The merges that can be undone on a town's page, the last first, each with the town that it took in."""
    merges = list(Merge.objects.filter(kind=Merge.Kind.TOWN, kept=town.pk, undone_at=None))
    towns = Town.everything.in_bulk([merge.gone for merge in merges])
    return [(merge, towns[merge.gone]) for merge in merges if merge.gone in towns]


def _may_be_merged(kept: Town, gone: Town) -> None:
    if kept.pk == gone.pk:
        raise MergeError(f"{kept} can't be merged into itself: choose another town.")
    for town in (kept, gone):
        if town.binned_at:
            raise MergeError(f"{town} is in the bin, or was merged meanwhile. Nothing was moved.")


def _move(kept: Record, gone: Record, moving: _Moving) -> None:
    """Point whatever points at `gone` at `kept`. Raises MergeError."""
    for model, column in _pointing_at(type(gone)):
        keys = []
        for row in _whole(model).filter(**{column: gone.pk}).order_by("pk"):
            twin = _twin(row, column, kept)
            if twin is None:
                keys.append(row.pk)
                continue
            _move(twin, row, moving)
            row.put_in_bin()
            moving.doubled.append((model._meta.label, row.pk))
        if keys:
            _whole(model).filter(pk__in=keys).update(**{column: kept.pk})
            moving.moved.append((model._meta.label, column, gone.pk, kept.pk, keys))


def _twin(row: Any, column: str, kept: Record) -> Any:
    """The row of the same name that `kept` has already, where there may be only one. Raises MergeError."""
    model = type(row)
    if NAMED_ONCE.get(model) != column or row.binned_at:
        return None
    twin = model.everything.filter(name=row.name, **{column: kept.pk}).first()
    if twin is not None and twin.binned_at:
        raise MergeError(f"{twin} of {kept} is in the bin and bears the same name. Nothing was moved.")
    return twin


def _pointing_at(model: type[Record]) -> Iterator[tuple[Any, str]]:
    """Every model and column by which rows of others point at rows of this one; histories not."""
    for relation in model._meta.related_objects:
        yield relation.related_model, relation.field.name


def _whole(model: Any) -> Any:
    return getattr(model, "everything", model._base_manager)
