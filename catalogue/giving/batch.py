"""Giving and showing many finds: free to take, another standing, shared, promised to one person."""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from datetime import date
from typing import Any

from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.batch import hazards_object, keep_answers
from catalogue.common.bulk_insert import insert_for_each
from catalogue.common.history_entries import CREATED_MARK, note_history
from catalogue.common.text import isolated
from catalogue.giving.models import Promise
from catalogue.giving.rules import (
    open_handovers,
    open_promises,
    why_not_here,
    why_not_marked,
    why_not_promised,
)
from catalogue.giving.services import ACT_OF_MARK, ACT_OF_STANDING
from catalogue.giving.told import is_for_visitors, sites_told_by_each
from catalogue.people.models import Person
from catalogue.specimens.batch.links import rows_of
from catalogue.specimens.batch.piece_act import (
    WHERE_IT_LAY_ROWS,
    Made,
    Objections,
    PieceAct,
    PieceObjection,
    PieceQuestion,
    pieces_are,
)
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import Standing

TOLD = "told"
NOT_UNDONE = "to show it again is asked on its own page"


def first_shown(finds: Sequence[Specimen], column: str, values: Mapping[int, Any]) -> list[Specimen]:
    """Those that visitors would see first by these values of a column. No query."""
    found = []
    for find in finds:
        after = copy(find)
        setattr(after, column, values[find.pk])
        if not is_for_visitors(find) and is_for_visitors(after):
            found.append(find)
    return found


def unless_they_tell(
    finds: Sequence[Specimen], column: str, values: Mapping[int, Any], said: Objections
) -> Objections:
    """Ask too, where that first shows visitors a find whose words tell a site that is not shown exactly."""
    shown = first_shown(finds, column, values)
    for key, sites in sites_told_by_each(shown).items() if shown else ():
        question = PieceQuestion(TOLD, f"visitors would read of {' and '.join(sites)}", ticked=True)
        before = said.get(key, PieceObjection())
        if not before.refused:
            said[key] = replace(before, questions=(*before.questions, question))
    return said


def not_shown_again(
    finds: Sequence[Specimen], column: str, before: Mapping[int, Any], acts: Mapping[int, Act]
) -> dict[int, str]:
    """Pieces that an undo would show or give again, and that their hazards or words speak against."""
    why: dict[int, str] = {}
    for act in dict.fromkeys(acts.values()):
        asked = [find for find in finds if acts.get(find.pk) is act]
        for key, said in hazards_object(asked, act).items():
            if said.refused or said.questions:
                why[key] = said.refused or said.questions[0].words
    shown = first_shown(finds, column, before)
    told = sites_told_by_each(shown) if shown else {}
    return {key: f"visitors would read of {' and '.join(told[key])}; {NOT_UNDONE}" for key in told} | why


class SetStanding(PieceAct):
    """A standing that one tap sets: kept, or free to take. What is gone: `batch_departures`."""

    key, column, select = "standing", "standing", WHERE_IT_LAY_ROWS

    def __init__(self, standing: str = "") -> None:
        self.standing = Standing(standing).value if standing else ""

    @property
    def target(self) -> str:
        return str(Standing(self.standing).label)

    def value(self, find: Specimen) -> str:
        return self.standing

    def shown(self, find: Specimen) -> str:
        return str(find.get_standing_display())

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        act = ACT_OF_MARK.get(self.standing)
        said = hazards_object(finds, act) if act else {}
        keys = [find.pk for find in finds]
        promises, given = open_promises(keys), open_handovers(keys)
        for find in finds:
            if why := why_not_marked(self.standing, promises.get(find.pk), given.get(find.pk)):
                said[find.pk] = PieceObjection(refused=why)
            elif self.standing == Standing.FREE and (why := why_not_here(find)):
                said.setdefault(find.pk, PieceObjection())
                said[find.pk] = PieceObjection(refused=said[find.pk].refused or why)
        return unless_they_tell(finds, self.column, dict.fromkeys(keys, self.standing), said)

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        if act := ACT_OF_MARK.get(self.standing):
            keep_answers(finds, act, reasons, self.said)
        return {}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} now: {self.target}."

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        acts = {f.pk: ACT_OF_STANDING[before[f.pk]] for f in finds if before[f.pk] in ACT_OF_STANDING}
        return not_shown_again(finds, self.column, before, acts)


class ShareFinds(PieceAct):
    """Let visitors see them whatever their standing, or no longer."""

    key, column, select = "share", "shared", WHERE_IT_LAY_ROWS

    def __init__(self, *, shared: bool = True) -> None:
        self.shared = shared

    @property
    def target(self) -> str:
        return "shared with visitors" if self.shared else "not shared"

    def value(self, find: Specimen) -> bool:
        return self.shared

    def shown(self, find: Specimen) -> str:
        return "shared with visitors" if find.shared else "not shared"

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        if not self.shared:
            return {}
        said = hazards_object(finds, Act.SHARE)
        return unless_they_tell(finds, self.column, {find.pk: True for find in finds}, said)

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        if self.shared:
            keep_answers(finds, Act.SHARE, reasons, self.said)
        return {}

    def done_words(self, count: int) -> str:
        return (
            f"{pieces_are(count)} {self.target} now."
            if self.shared
            else f"{pieces_are(count)} not shared now."
        )

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        acts = {find.pk: Act.SHARE for find in finds if before[find.pk]}
        return not_shown_again(finds, self.column, before, acts)


class StopSharing(ShareFinds):
    key = "unshare"

    def __init__(self) -> None:
        super().__init__(shared=False)


class PromiseFinds(PieceAct):
    """Promised to one person, all on one day."""

    key, column, select = "promise", "standing", WHERE_IT_LAY_ROWS

    def __init__(
        self, person: Person | None = None, on: date | None = None, until: date | None = None, note: str = ""
    ) -> None:
        self.person, self.on, self.until, self.note = person, on, until, note

    @property
    def target(self) -> str:
        return f"promised to {isolated(str(self.person))}"

    def value(self, find: Specimen) -> str:
        return Standing.PROMISED.value

    def is_so(self, find: Specimen) -> bool:
        # To whom it is promised is asked by `objections`.
        return False

    def shown(self, find: Specimen) -> str:
        return str(find.get_standing_display())

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        said = hazards_object(finds, Act.PROMISE)
        promises = open_promises([find.pk for find in finds])
        for find in finds:
            if why := why_not_promised(find, promises.get(find.pk)):
                said[find.pk] = PieceObjection(refused=why)
        return said

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        keep_answers(finds, Act.PROMISE, reasons, self.said)
        about = {"person": self.person, "on": self.on or timezone.localdate(), "until": self.until}
        keys = [find.pk for find in finds]
        promises = insert_for_each(Promise, Specimen, keys, copied={"find": "id"}, note=self.note, **about)
        note_history(Promise, [promise for _, promise in promises], mark=CREATED_MARK)
        return {"promises": promises}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} {self.target}."

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        there = open_promises([find.pk for find in finds])
        why = {find.pk: "that promise is no longer open" for find in finds if find.pk not in there}
        acts = {f.pk: ACT_OF_STANDING[before[f.pk]] for f in finds if before[f.pk] in ACT_OF_STANDING}
        return not_shown_again(finds, self.column, before, acts) | why

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        own = Promise.objects.filter(pk__in=rows_of(keys, made.get("promises", [])))
        there, now = list(own.values_list("pk", flat=True)), timezone.now()
        own.update(binned_at=now, changed=now)
        note_history(Promise, there)
