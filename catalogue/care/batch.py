"""Acts of the bench on many finds: a stage, a soak, a bath, each by the gates of the single act."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db.models import Max
from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.models import Bath, BathMember, Soak, SoakMember
from catalogue.care.piece_facts import knowledge_as_read
from catalogue.care.services.bath_checks import why_not
from catalogue.care.services.permits import hazard_answers, keep_reasons
from catalogue.care.services.soaks import ENDED, IN_ACID, SoakRefused, in_acid, no_bath_in
from catalogue.care.services.treatments import act_of_stage
from catalogue.common.bulk_insert import insert_for_each
from catalogue.common.history_entries import CREATED_MARK, note_history
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
from catalogue.specimens.models.specimen import STANDINGS_GONE
from catalogue.specimens.models.words import Stage

QUESTION = "hazard-"


def hazards_object(finds: Sequence[Specimen], act: Act) -> Objections:
    """What the hazards of these pieces have against an act, as `permit` asks it."""
    said: Objections = {}
    for pk, answer in hazard_answers(finds, act).items():
        if answer.refused:
            said[pk] = PieceObjection(refused=answer.words)
        elif answer.gates:
            question = PieceQuestion(f"{QUESTION}{'.'.join(answer.gates)}", answer.words)
            said[pk] = PieceObjection(questions=(question,))
        elif answer.warned:
            said[pk] = PieceObjection(note=answer.warned)
    return said


def keep_answers(
    finds: Sequence[Specimen], act: Act, answers: Mapping[str, str], said: Mapping[int, PieceObjection]
) -> None:
    """Keep the written reasons with the pieces that wanted them, which are asked once more.

    `said`: what was objected to when they were judged, under the same lock.
    """
    finds = [find for find in finds if _wants_reason(said.get(find.pk))]
    if not finds:
        return
    reasons = {
        key.removeprefix(QUESTION): words for key, words in answers.items() if key.startswith(QUESTION)
    }
    keep_reasons(finds, act, reasons)


def _wants_reason(said: PieceObjection | None) -> bool:
    return said is not None and any(question.key.startswith(QUESTION) for question in said.questions)


def not_here(finds: Sequence[Specimen]) -> Objections:
    """Pieces that are not here to be worked on."""
    return {
        find.pk: PieceObjection(refused=f"it is not here any more: {find.get_standing_display()}")
        for find in finds
        if find.standing in STANDINGS_GONE
    }


class SetStage(PieceAct):
    """How far along they are, as by one tap on the bench."""

    key, column, select = "stage", "stage", WHERE_IT_LAY_ROWS

    def __init__(self, stage: str = "") -> None:
        self.stage = Stage(stage).value if stage else ""

    @property
    def target(self) -> str:
        return str(Stage(self.stage).label)

    def value(self, find: Specimen) -> str:
        return self.stage

    def shown(self, find: Specimen) -> str:
        return str(find.get_stage_display())

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        if act := act_of_stage(self.stage):
            return hazards_object(finds, act)
        if self.stage == Stage.DRYING:
            left_alone = hazard_answers(finds, Act.TOOLS)
            return {pk: PieceObjection(refused=said.words) for pk, said in left_alone.items() if said.refused}
        return {}

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        if act := act_of_stage(self.stage):
            keep_answers(finds, act, reasons, self.said)
        return {}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} now: {self.target}."


class IntoSoak(PieceAct):
    """Into the water of a soak that goes on."""

    key, column, overwrites, select = "soak", "stage", False, WHERE_IT_LAY_ROWS

    def __init__(self, soak: Soak | None = None) -> None:
        self.soak = soak

    @property
    def target(self) -> str:
        return f"in {self.soak}"

    def value(self, find: Specimen) -> str:
        return Stage.SOAKING.value

    def is_so(self, find: Specimen) -> bool:
        # The stage alone doesn't say in which water it is: `objections` does.
        return False

    def shown(self, find: Specimen) -> str:
        return str(find.get_stage_display())

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        keys = [find.pk for find in finds]
        soaking = SoakMember.objects.filter(find__in=keys, out_at=None).select_related("soak")
        waters = {member.find_id: member.soak for member in soaking}
        acid = in_acid(keys)
        said = hazards_object(finds, Act.SOAK) | not_here(finds)
        for find in finds:
            if find.pk in acid:
                said[find.pk] = PieceObjection(refused=IN_ACID)
            elif water := waters.get(find.pk):
                same = self.soak is not None and water.pk == self.soak.pk
                there = (
                    "it is in this water already" if same else f"it is in {water}: take it out there first"
                )
                said[find.pk] = PieceObjection(refused=there)
        return said

    def ready(self, finds: Sequence[Specimen]) -> None:
        soak = Soak.objects.select_for_update().get(pk=self.soak.pk) if self.soak else None
        if soak is None or soak.ended_at:
            raise SoakRefused(ENDED)
        no_bath_in(soak)

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        keep_answers(finds, Act.SOAK, reasons, self.said)
        soak, now = self.soak, timezone.now()
        if soak is None:
            raise SoakRefused(ENDED)
        last = last_out([find.pk for find in finds])
        members = SoakMember.objects.bulk_create(
            SoakMember(soak=soak, find=find, in_at=max(now, soak.began_at, last.get(find.pk, now)))
            for find in finds
        )
        note_history(SoakMember, [member.pk for member in members], mark=CREATED_MARK)
        return {"soaked": [[member.find_id, member.pk] for member in members]}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} in the water of {self.soak} now."

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        inside = SoakMember.objects.filter(find__in=[find.pk for find in finds], out_at=None)
        there = set(inside.values_list("find_id", flat=True))
        return {find.pk: "it came out of the water since" for find in finds if find.pk not in there}

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        members = SoakMember.objects.filter(pk__in=rows_of(keys, made.get("soaked", [])))
        put_away(list(members))


class ForBath(PieceAct):
    """Chosen for the next load of a bath. Its gates are asked now, and once more before it is mixed."""

    key, overwrites, select = "bath", False, WHERE_IT_LAY_ROWS

    def __init__(self, bath: Bath | None = None) -> None:
        self.bath = bath

    @property
    def target(self) -> str:
        return f"chosen for {self.bath}"

    def is_so(self, find: Specimen) -> bool:
        return False

    def shown(self, find: Specimen) -> str:
        return str(find.get_stage_display())

    def objections(self, finds: Sequence[Specimen]) -> Objections:
        said = not_here(finds)
        keys = [find.pk for find in finds]
        here = BathMember.objects.filter(find__in=keys, bath=self.bath, in_at=None)
        chosen, acid = set(here.values_list("find_id", flat=True)), in_acid(keys)
        for pk, known in knowledge_as_read(finds).items():
            why, gates = why_not(BathMember(find=known.find), known)
            if pk in chosen:
                said[pk] = PieceObjection(refused="it is chosen for this bath already")
            elif pk in acid:
                said[pk] = PieceObjection(refused="it is in another bath")
            elif any(not gate.override for gate in gates):
                said.setdefault(pk, PieceObjection(refused=why))
            elif why:
                # A look or a written reason, which the bath's own page asks for before it starts.
                said.setdefault(pk, PieceObjection(note=f"asked before it goes in: {why}"))
        return said

    def ready(self, finds: Sequence[Specimen]) -> None:
        bath = Bath.objects.select_for_update(of=("self",)).get(pk=self.bath.pk) if self.bath else None
        if bath is None or bath.ended_at:
            raise SoakRefused("This bath has ended.")

    def beside(self, finds: Sequence[Specimen], reasons: Mapping[str, str]) -> Made:
        keys = [find.pk for find in finds]
        members = insert_for_each(BathMember, Specimen, keys, copied={"find": "id"}, bath=self.bath)
        note_history(BathMember, [member for _, member in members], mark=CREATED_MARK)
        return {"chosen": members}

    def done_words(self, count: int) -> str:
        return f"{pieces_are(count)} chosen for {self.bath}."

    def undo_objections(self, finds: Sequence[Specimen], before: Mapping[int, Any]) -> dict[int, str]:
        waiting = BathMember.objects.filter(find__in=[find.pk for find in finds], in_at=None)
        there = set(waiting.values_list("find_id", flat=True))
        return {find.pk: "it went into the bath since" for find in finds if find.pk not in there}

    def undo_beside(self, keys: Sequence[int], made: Made) -> None:
        members = BathMember.objects.filter(pk__in=rows_of(keys, made.get("chosen", [])), in_at=None)
        put_away(list(members))


def last_out(keys: Sequence[int]) -> dict[int, datetime]:
    """When each piece last came out of a water or a bath. Two queries."""
    found: dict[int, datetime] = {}
    for model in (SoakMember, BathMember):
        rows = model.objects.filter(find__in=keys, out_at__isnull=False).order_by().values_list("find")
        for key, at in rows.annotate(last=Max("out_at")):
            found[key] = max(at, found.get(key, at))
    return found


def put_away(members: Sequence[SoakMember] | Sequence[BathMember]) -> None:
    """Rows that never should have been, into the bin, with their history. Two queries or so."""
    if not members:
        return
    model, now = type(members[0]), timezone.now()
    keys = [member.pk for member in members]
    model.objects.filter(pk__in=keys).update(binned_at=now, changed=now)
    note_history(model, keys)
