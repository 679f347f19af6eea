"""Treatments: looks, reports, treatments logged, cleaning tool by tool, the steps of growth kept."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple

from django.db import transaction
from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.care_tables import CARE_FACTS, OwnTreatment, Why, care_tables, logged_as, why_of
from catalogue.care.models import Check, ConditionReport, Damage, Tool, ToolUse, Treatment, WorkStep
from catalogue.care.piece_facts import waits
from catalogue.care.services.permits import must_not_dry, permit
from catalogue.photos.models import Photo
from catalogue.specimens.derived.refresh import refreshing
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import Look, Stage
from catalogue.specimens.services import set_stage
from dating.facts import Cells, keyed

# The order that most pieces take; any stage may be skipped or gone back to.
STAGE_ORDER = [Specimen.Stage(value) for value in ("wet", "soaking", "cleaning", "drying", "done")]


class ReasonNeeded(ValueError):
    """The site of the find is on hold: this treatment is written down only with a reason."""


@refreshing()
def report_condition(report: ConditionReport, damages: Sequence[Damage] = ()) -> ConditionReport:
    """Save a look at a find with every damage seen, whole or not at all."""
    report.save()
    for damage in damages:
        damage.report = report
        damage.save()
    return report


@transaction.atomic
def log_treatment(treatment: Treatment, *, stage: str = "") -> Treatment:
    """Write down what was done, and where the find stands now if that is said.

    What was in fact done is always taken. Raises ReasonNeeded where the site is on hold and no reason is
    given, ValueError for a word that is no stage.
    """
    _with_reason(treatment)
    treatment.save()
    if stage and stage != treatment.find.stage:
        set_stage(treatment.find, stage)
    return treatment


def _with_reason(treatment: Treatment) -> None:
    if waits(treatment.method, treatment.find.where_found) and not treatment.override_reason.strip():
        raise ReasonNeeded("This site is on hold for that treatment: write down why it was done.")


@transaction.atomic
def correct_condition(
    report: ConditionReport, damages: Sequence[Damage], *, fields: Sequence[str]
) -> ConditionReport:
    """Put a report right: those columns, and its damages as they are given; what goes lies in the bin."""
    before = {(damage.kind, damage.part): damage for damage in report.damages.all()}
    for damage in damages:
        known = before.pop((damage.kind, damage.part), None)
        if known is None:
            damage.report = report
            damage.save()
        elif (known.extent, known.note) != (damage.extent, damage.note):
            known.extent, known.note = damage.extent, damage.note
            known.save(update_fields=["extent", "note"])
    for gone in before.values():
        gone.put_in_bin()
    # Also where a damage alone was changed: its history is the report's.
    report.save(update_fields=fields)
    return report


@transaction.atomic
def correct_treatment(treatment: Treatment, *, fields: Sequence[str]) -> Treatment:
    """Put right what was written down as done. Raises ReasonNeeded as for a new one."""
    _with_reason(treatment)
    treatment.save(update_fields=fields)
    return treatment


def stage_after(stage: str) -> Stage | None:
    """The next stage in the usual order; None after the last."""
    place = STAGE_ORDER.index(Specimen.Stage(stage))
    return STAGE_ORDER[place + 1] if place + 1 < len(STAGE_ORDER) else None


def note_look(find: Specimen, found: Iterable[str], note: str = "", *, in_passing: bool = False) -> Check:
    """Write down a look at the piece: the keys of the gates that hold, none for "nothing there".

    `in_passing`: noticed while recording; what is not named was not looked for, so the look before acid is
    still asked. Raises ValueError for a key that nobody can look for.
    """
    keys = list(dict.fromkeys(found))
    gates = care_tables().gates
    wrong = [key for key in keys if key not in gates or not gates[key].by_eye]
    if wrong:
        raise ValueError(f"Nobody can look for {wrong[0]!r}.")
    return Check.objects.create(find=find, found=keys, in_passing=in_passing, note=note, at=timezone.now())


KIT_COLUMNS = ("name", "softness", "rough", "where", "bore_from_mm", "bore_to_mm", "how")


# What is done to a piece by the next tap on the bench. What is left alone is not dried either.
ACT_OF_STAGE = {Stage.SOAKING.value: Act.SOAK, Stage.CLEANING.value: Act.TOOLS}


def act_of_stage(stage: str) -> Act | None:
    """The act that a stage begins with; None where it begins none."""
    return ACT_OF_STAGE.get(stage)


@transaction.atomic
def move_on(find: Specimen, stage: str, reason: str = "") -> Specimen:
    """The next thing is done with a piece on the bench. To write down where it stands is `set_stage`.

    Raises Hazard and HazardAsksReason for what it has, ValueError for a word that is no stage.
    """
    if act := act_of_stage(stage):
        permit([find], act, reason)
    elif stage == Stage.DRYING:
        must_not_dry(find)
    return set_stage(find, stage)


class NotThisTool(ValueError):
    """A tool that must not touch this piece; the message says why."""


@transaction.atomic
def bring_usual_kit() -> int:
    """Put the usual tools into one's kit, those that are not there yet. Returns how many came."""
    have = set(Tool.everything.values_list("name", flat=True))
    new = [cells for cells in CARE_FACTS.rows("kit", KIT_COLUMNS) if cells.text("name") not in have]
    for cells in new:
        Tool.objects.create(
            name=cells.text("name", needed=True),
            softness=cells.whole("softness", 1),
            rough=cells.yes("rough"),
            where=cells.text("where"),
            bore_from_mm=cells.text("bore_from_mm") or None,
            bore_to_mm=cells.text("bore_to_mm") or None,
            how=cells.text("how"),
        )
    return len(new)


def open_cleaning(find: Specimen) -> Treatment | None:
    """The detailed cleaning that is going on, if one is."""
    return find.treatments.filter(method=OwnTreatment.DETAIL, ended=None).first()


@transaction.atomic
def use_tool(find: Specimen, tool: Tool, worked: str, *, reason: str = "") -> ToolUse:
    """One go with a tool: begins the detailed cleaning where none is going on, and counts the pass.

    Raises NotThisTool for a rough one on decorated glass or inside cracked glass, ValueError for a word that
    is no result, Hazard and HazardAsksReason for what the piece has.
    """
    worked = ToolUse.Worked(worked)
    known = permit([find], Act.TOOLS, reason)[find.pk]
    if tool.rough and known.decorated:
        raise NotThisTool(f"{tool.name} scratches, and this piece is decorated.")
    if known.keeps_off(tool):
        raise NotThisTool(f"{tool.name} is rough, and inside a cracked piece it breaks the glass further.")
    Specimen.objects.select_for_update().get(pk=find.pk)
    treatment = open_cleaning(find) or Treatment.objects.create(
        find=find, method=OwnTreatment.DETAIL, look=find.look, begun=timezone.now()
    )
    use = ToolUse.objects.create(find=find, tool=tool, treatment=treatment, worked=worked)
    refresh_tools_used(treatment)
    if find.stage != Specimen.Stage.CLEANING:
        set_stage(find, Specimen.Stage.CLEANING)
    return use


@transaction.atomic
def undo_tool_use(use: ToolUse) -> None:
    """A wrong tap undone; an empty cleaning goes with it."""
    treatment = use.treatment
    use.put_in_bin()
    if treatment.ended is None and not treatment.tool_uses.exists():
        treatment.put_in_bin()
    else:
        refresh_tools_used(treatment)


def refresh_tools_used(treatment: Treatment) -> None:
    """Bring the treatment's own words up to its passes: tools softest first, each once."""
    uses = list(treatment.tool_uses.select_related("tool"))
    tools = sorted({use.tool for use in uses}, key=lambda tool: (tool.softness, tool.name))
    treatment.tools = ", ".join(tool.name for tool in tools)[:200]
    treatment.passes = len(uses)
    treatment.save(update_fields=["tools", "passes"])


@transaction.atomic
def finish_cleaning(find: Specimen, result: str, *, stage: str = "") -> Treatment | None:
    """End the detailed cleaning that is going on; None where none is."""
    treatment = open_cleaning(find)
    if treatment is None:
        return None
    treatment.ended, treatment.result = timezone.now(), Treatment.Result(result)
    treatment.save(update_fields=["ended", "result"])
    if stage:
        set_stage(find, stage)
    return treatment


class Step(NamedTuple):
    """One line of the checklist."""

    key: str
    name: str
    how: str
    method: str
    stage: str
    mind: str
    why: Why


@lru_cache(maxsize=1)
def growth_steps() -> dict[str, Step]:
    """The checklist in its order."""
    columns = ("key", "name", "how", "method", "stage", "mind")
    return keyed(CARE_FACTS.rows("growth_kept", columns), _step, "key")


def _step(cells: Cells) -> Step:
    """One row of growth_kept.csv. Raises ReferenceError."""
    return Step(
        cells.text("key", needed=True),
        cells.text("name", needed=True),
        cells.text("how", needed=True),
        logged_as(cells, "method"),
        cells.one_of("stage", {*Specimen.Stage.values, ""}),
        cells.text("mind"),
        why_of(cells, cells.text("mind")),
    )


@transaction.atomic
def begin_step(find: Specimen, key: str, *, at: datetime | None = None, reason: str = "") -> WorkStep:
    """Begin a step; one that is begun already keeps its time.

    Raises KeyError for no step, Hazard and HazardAsksReason for what the piece has.
    """
    step = growth_steps()[key]
    if not WorkStep.objects.filter(find=find, step=key).exists():
        permit([find], Act.TOOLS, reason)
    Specimen.objects.select_for_update().get(pk=find.pk)
    work, new = WorkStep.objects.get_or_create(
        find=find, step=key, defaults={"begun_at": at or timezone.now()}
    )
    if new and step.stage and find.stage != step.stage:
        set_stage(find, step.stage)
    return work


@transaction.atomic
def finish_step(
    find: Specimen, key: str, *, note: str = "", photos: Iterable[Photo] = (), at: datetime | None = None
) -> tuple[WorkStep, bool]:
    """End a step and write its one treatment. Gives the step and whether it was ended just now."""
    step = growth_steps()[key]
    work = begin_step(find, key, at=at)
    if work.done_at:
        work.photos.add(*photos)
        return work, False
    work.done_at = max(at or timezone.now(), work.begun_at)
    work.note = note
    if step.method:
        work.treatment = Treatment.objects.create(
            find=find,
            method=step.method,
            look=Look.GROWTH,
            begun=work.begun_at,
            ended=work.done_at,
            note=note or f"{step.name}.",
        )
    work.save(update_fields=["done_at", "note", "treatment"])
    work.photos.add(*photos)
    return work, True
