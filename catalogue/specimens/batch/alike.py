"""Acts that make many finds twins, add words to each, or put them in the bin."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.utils import timezone

from catalogue.common.limits import NOTE_LENGTH
from catalogue.common.records import StillNeeded
from catalogue.specimens.batch.piece_act import (
    LOADED,
    Made,
    Objections,
    PieceAct,
    PieceObjection,
    pieces_are,
)
from catalogue.specimens.batch.writing import write_column
from catalogue.specimens.models import Specimen, TwinGroup
from catalogue.specimens.models.specimen import SpecimenQuerySet


class AddWords(PieceAct):
    """A line at the end of each piece's notes, where search finds it."""

    key, column, overwrites = "words", "notes", False

    def __init__(self, words: str = "") -> None:
        self.words = words

    @property
    def target(self) -> str:
        return f"“{self.words}” in its notes"

    def value(self, find: Specimen) -> str:
        return f"{find.notes.rstrip()}\n{self.words}" if find.notes.strip() else self.words

    def shown(self, find: Specimen) -> str:
        return f"{len(find.notes.split())} words of notes" if find.notes.strip() else "no notes"

    def is_so(self, find: Specimen) -> bool:
        return self.words in find.notes.splitlines()

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        full = f"its notes would be longer than {NOTE_LENGTH:,} letters"
        return {
            find.pk: PieceObjection(refused=full) for find in finds if len(self.value(find)) > NOTE_LENGTH
        }

    def done_words(self, count: int) -> str:
        return f"“{self.words}” is in the notes of {'1 piece' if count == 1 else f'{count:,} pieces'} now."


class MatchAsTwins(PieceAct):
    """All of them match and stand side by side; each brings its own twins along."""

    key, column, select, fewest, overwrites = "twins", "twin_group_id", ("twin_group",), 2, False

    def __init__(self) -> None:
        self._group: TwinGroup | None = None
        self._others: list[int] = []

    @property
    def target(self) -> str:
        return "twins of each other"

    def value(self, find: Specimen) -> Any:
        return self._group.pk if self._group else None

    def is_so(self, find: Specimen) -> bool:
        # Whether all are of one group is known when the group is; a lone look can't tell.
        return False

    def shown(self, find: Specimen) -> str:
        return "has twins" if find.twin_group_id else "no twins"

    def ready(self, finds: Sequence[Specimen]) -> None:
        group = next((find.twin_group for find in finds if find.twin_group), None)
        self._group = group or TwinGroup.objects.create()

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        """Twins of theirs that were not chosen join as well; groups left empty are kept for the undo."""
        old = {find.twin_group_id for find in finds if find.twin_group_id} - {self.value(finds[0])}
        along = Specimen.everything.filter(twin_group__in=old).exclude(pk__in=[f.pk for f in finds])
        return {
            "along": _into(along, dict.fromkeys(along.values_list("pk", flat=True), self.value(finds[0])))
        }

    def done_words(self, count: int) -> str:
        return f"{count:,} pieces match."

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        groups = {key for key in before.values() if key is not None}
        there = set(TwinGroup.objects.filter(pk__in=groups).values_list("pk", flat=True))
        gone = "its former twins are not twins any more"
        return {find.pk: gone for find in finds if before[find.pk] not in {*there, None}}

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        before = dict(made.get("along", []))
        _into(Specimen.everything.filter(pk__in=before, twin_group__isnull=False), before)


def _into(twins: SpecimenQuerySet[Specimen], groups: Mapping[int, int]) -> list[list[int | None]]:
    """Put these into groups, and give for each the one before."""
    finds = list(twins.only(*LOADED))
    before = [[find.pk, find.twin_group_id] for find in finds]
    for find in finds:
        find.twin_group_id = groups[find.pk]
    if finds:
        write_column(finds, "twin_group_id")
    return before


class PutInBin(PieceAct):
    """Out of sight, not gone."""

    key, column, overwrites = "bin", "binned_at", False

    def __init__(self) -> None:
        self._at: datetime = timezone.now()

    @property
    def target(self) -> str:
        return "in the bin"

    def value(self, find: Specimen) -> datetime:
        return self._at

    def is_so(self, find: Specimen) -> bool:
        return find.binned_at is not None

    def shown(self, find: Specimen) -> str:
        return find.what

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        said = {find.pk: find.why_needed() for find in finds}
        return {key: PieceObjection(refused=why) for key, why in said.items() if why}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} in the bin. Nothing is lost."

    def still_so(self, find: Specimen, after: Any) -> bool:
        return find.binned_at is not None and find.binned_at.isoformat() == after

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        """What each rests on has to be back first, as for one piece."""
        why: dict[int, str] = {}
        for column in Specimen.RESTS_ON:
            model: Any = Specimen._meta.get_field(column).related_model
            keys = {getattr(find, f"{column}_id") for find in finds}
            binned = dict(model.everything.in_bin().filter(pk__in=keys).in_bulk())
            for find in finds:
                row = binned.get(getattr(find, f"{column}_id"))
                if row is not None:
                    why.setdefault(find.pk, str(StillNeeded(f"{row} is in the bin too: put that back first")))
        return why
