"""What was merged into what: names and addresses of merged records lead on; the bin does not list them."""

from typing import Any, TypeVar, cast

from django.apps import apps
from django.db.models import Q, QuerySet

from .models import Merge
from .records import Record

Row = TypeVar("Row", bound=Record)


def merged_into(gone: Row) -> Row | None:
    """The record that one was merged into, also by way of others; None for one that was not."""
    kind, key, found = gone._meta.model_name, gone.pk, None
    while step := Merge.objects.filter(kind=kind, gone=key, undone_at=None).first():
        found, key = type(gone).everything.filter(pk=step.kept).first(), step.kept
    return found


def meant(row: Row) -> Row | None:
    """The record itself, or the one that it was merged into; None where what is left lies in the bin."""
    found = merged_into(row) or row
    return None if found.binned_at else found


def merge_of(gone: Record) -> Merge | None:
    """The merge by which a record was taken into another, where it was not undone."""
    made = Merge.objects.filter(kind=gone._meta.model_name, gone=gone.pk, undone_at=None)
    return made.first()


def merges_into(kept: Row) -> list[tuple[Merge, Row]]:
    """The merges that can be undone on a record's page, the last first, each with what it took in."""
    made = Merge.objects.filter(kind=kept._meta.model_name, kept=kept.pk, undone_at=None, part_of=None)
    rows = type(kept).everything.in_bulk([each.gone for each in made])
    return [(each, rows[each.gone]) for each in made if each.gone in rows]


def alike_when_merged(made: Merge, kept: Any, gone: Any) -> bool:
    """Whether the one kept bears the other's name and did before they were merged: not taken since."""
    if gone.namesake() != kept:
        return False
    then = kept.history.filter(history_date__lte=made.at).order_by("-history_date", "-history_id").first()
    return then is not None and then.name.casefold() == gone.name.casefold()


def merged_keys(model: type[Record]) -> QuerySet[Any]:
    """Keys of the records of a kind that were merged into others, for a query."""
    return Merge.objects.filter(kind=model._meta.model_name, undone_at=None).values("gone")


def with_merged(model: type[Row]) -> QuerySet[Row]:
    """Live records, and those merged into others: whoever types their names means the others (`meant`)."""
    rows = model.everything.filter(Q(binned_at=None) | Q(pk__in=merged_keys(model)))
    return cast("QuerySet[Row]", rows)


def once_named(model: type[Row], name: str) -> Row | None:
    """The record that one which bore this name was merged into; None where there is none such."""
    rows = model.everything.filter(name__iexact=name, pk__in=merged_keys(model))
    found = (meant(row) for row in rows.order_by("pk"))
    return next((row for row in found if row), None)


def lying_in_bin(model: type[Row]) -> QuerySet[Row]:
    """What was put in the bin, without what lies there because it was merged."""
    return cast("QuerySet[Row]", model.everything.in_bin().exclude(pk__in=merged_keys(model)))


def all_merged_here(kept: Row) -> list[Row]:
    """Every record that was merged into this one, also by way of others."""
    found: list[Row] = []
    keys = [kept.pk]
    while keys:
        into = Merge.objects.filter(kind=kept._meta.model_name, kept__in=keys, undone_at=None)
        keys = list(into.values_list("gone", flat=True))
        found += type(kept).everything.filter(pk__in=keys)
    return found


def model_of(kind: str) -> type[Record]:
    """The model of a kind of merge."""
    return next(
        model for model in apps.get_models() if model._meta.model_name == kind and issubclass(model, Record)
    )


def forget_merges(kept: Record) -> None:
    """What was merged into a record that is deleted for good goes with it."""
    for gone in all_merged_here(kept):
        gone.delete()
    kind = kept._meta.model_name
    Merge.objects.filter(Q(kept=kept.pk) | Q(gone=kept.pk), kind=kind).delete()
