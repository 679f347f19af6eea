"""Undo an act on many finds as one step; what was changed since stays as it is, and is named."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from catalogue.specimens.batch.judging import GONE, IN_BIN, in_parts, load
from catalogue.specimens.batch.piece_act import PieceAct
from catalogue.specimens.batch.writing import write_column
from catalogue.specimens.derived.refresh import refresh_now, refreshing, years_beside_the_pages
from catalogue.specimens.models import BatchAct, Specimen

CHANGED_AGAIN = "it was changed again since"


class NotUndone(ValueError):
    """It was undone already, or nothing of it can be; nothing was changed."""


@dataclass(frozen=True, slots=True)
class BatchUndone:
    """How many are as before, and which are not, with the reason."""

    count: int
    left: list[tuple[str, str]]
    years_follow: bool = False  # the years of these are worked out beside the pages


@refreshing()
def undo(batch: BatchAct, act: PieceAct) -> BatchUndone:
    """Take it back, in one transaction. Raises NotUndone."""
    batch = BatchAct.objects.select_for_update().get(pk=batch.pk)
    if batch.done_at is None or batch.undone_at is not None:
        raise NotUndone("Nothing was undone: that was undone already.")
    rows = {int(key): (before, after) for key, before, after in batch.changed["rows"]}
    left: list[tuple[str, str]] = []
    count = 0
    with years_beside_the_pages(len(rows)) as put_off:
        for part in in_parts(list(rows)):
            found = load(act, part, lock=True)
            left += [(f"number {key}", GONE) for key in part if key not in found]
            finds = [found[key] for key in part if key in found]
            why = _why_not(act, finds, rows)
            left += [(find.number, why[find.pk]) for find in finds if find.pk in why]
            back = [find for find in finds if find.pk not in why]
            _take_back(batch, act, back, rows)
            count += len(back)
    if not count:
        raise NotUndone(f"Nothing was undone: {left[0][0] if left else ''}, {left[0][1] if left else ''}.")
    batch.undone_at = timezone.now()
    batch.save(update_fields=["undone_at"])
    return BatchUndone(count, left, put_off and act.bears_on_years)


def _why_not(act: PieceAct, finds: Sequence[Specimen], rows: dict[int, tuple[Any, Any]]) -> dict[int, str]:
    why: dict[int, str] = {}
    for find in finds:
        if find.binned_at and act.column != "binned_at":
            why[find.pk] = IN_BIN
        elif act.column and not act.still_so(find, rows[find.pk][1]):
            why[find.pk] = CHANGED_AGAIN
    rest = [find for find in finds if find.pk not in why]
    if rest:
        why |= act.undo_objections(rest, {find.pk: rows[find.pk][0] for find in rest})
    return why


def _take_back(
    batch: BatchAct, act: PieceAct, finds: list[Specimen], rows: dict[int, tuple[Any, Any]]
) -> None:
    if not finds:
        return
    keys = [find.pk for find in finds]
    act.undo_beside(keys, {kind: made for kind, made in batch.changed.items() if kind != "rows"})
    if act.column:
        for find in finds:
            setattr(find, act.column, rows[find.pk][0])
        write_column(finds, act.column)
    refresh_now()
