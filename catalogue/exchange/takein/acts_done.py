"""Sharing, standing and stage as the sheet says them, done as the single acts do."""

from collections.abc import Sequence

from catalogue.specimens.batch.writing import write_column
from catalogue.specimens.models import Specimen

from .permitted import ASKED_ACTS, PARTED, act_of, asks_for, objection_words
from .row_said import RowSaid

MOST_TOLD = 6


def act_with_old(rows: Sequence[tuple[RowSaid, Specimen]]) -> None:
    """With finds on record; their rules were asked in this transaction, and those refused are not here."""
    _do(rows, ask=False)


def act_with_new(rows: Sequence[tuple[RowSaid, Specimen]]) -> list[str]:
    """With finds made just now, whose hazards can be asked only now; a sentence for each that stays as it is.

    A new find begins with its stage: that one is no act.
    """
    return _do(rows, ask=True)


def _do(rows: Sequence[tuple[RowSaid, Specimen]], *, ask: bool) -> list[str]:
    refused: dict[str, list[str]] = {}
    for name in ASKED_ACTS:
        groups: dict[object, list[tuple[RowSaid, Specimen]]] = {}
        for said, find in rows:
            if asks_for(name, said) and not (ask and name == "stage"):
                groups.setdefault(getattr(said, name), []).append((said, find))
        for group in groups.values():
            act = act_of(name, group[0][0])
            for start in range(0, len(group), PARTED):
                keys = [find.pk for _, find in group[start : start + PARTED]]
                finds = list(Specimen.objects.filter(pk__in=keys).select_related("dive__site", "site"))
                finds = [find for find in finds if not act.is_so(find)]
                objections = act.objections(finds) if ask and finds else {}
                good = []
                for find in finds:
                    if why := objection_words(objections, find.pk):
                        refused.setdefault(f"not {act.target}: {why}", []).append(find.number)
                    else:
                        setattr(find, act.column, act.value(find))
                        good.append(find)
                write_column(good, act.column)
    return [_sentence(why, numbers) for why, numbers in refused.items()]


def _sentence(why: str, numbers: Sequence[str]) -> str:
    named = ", ".join(numbers[:MOST_TOLD])
    more = f" and {len(numbers) - MOST_TOLD} more" if len(numbers) > MOST_TOLD else ""
    return f"{named}{more}: {why.rstrip('.')}."
