"""Detailed cleaning: the kit, and what worked, in two taps a piece."""

from django.db import transaction
from django.utils import timezone

from catalogue.care.care_tables import FACTS
from catalogue.care.knowing import know
from catalogue.care.models import Tool, ToolUse, Treatment
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage

KIT_COLUMNS = ("name", "softness", "rough", "where", "bore_from_mm", "bore_to_mm", "how")


class NotThisTool(ValueError):
    """A tool that must not touch this piece; the message says why."""


@transaction.atomic
def bring_usual_kit() -> int:
    """Put the usual tools into one's kit, those that are not there yet. Returns how many came."""
    have = set(Tool.everything.values_list("name", flat=True))
    new = [cells for cells in FACTS.rows("kit", KIT_COLUMNS) if cells.text("name") not in have]
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
    return find.treatments.filter(method=Treatment.Method.DETAIL, ended=None).first()


@transaction.atomic
def use_tool(find: Specimen, tool: Tool, worked: str) -> ToolUse:
    """One go with a tool: begins the detailed cleaning where none is going on, and counts the pass.

    Raises NotThisTool for a rough one on decorated glass, ValueError for a word that is no result.
    """
    worked = ToolUse.Worked(worked)
    known = know(find)
    if known.leave_alone:
        raise NotThisTool("It is sealed: leave it alone.")
    if tool.rough and known.decorated:
        raise NotThisTool(f"{tool.name} scratches, and this piece is decorated.")
    Specimen.objects.select_for_update().get(pk=find.pk)
    treatment = open_cleaning(find) or Treatment.objects.create(
        find=find, method=Treatment.Method.DETAIL, look=find.look, begun=timezone.now()
    )
    use = ToolUse.objects.create(find=find, tool=tool, treatment=treatment, worked=worked)
    tell(treatment)
    if find.stage != Specimen.Stage.CLEANING:
        set_stage(find, Specimen.Stage.CLEANING)
    return use


@transaction.atomic
def take_back(use: ToolUse) -> None:
    """A wrong tap undone; an empty cleaning goes with it."""
    treatment = use.treatment
    use.put_in_bin()
    if treatment.ended is None and not treatment.tool_uses.exists():
        treatment.put_in_bin()
    else:
        tell(treatment)


def tell(treatment: Treatment) -> None:
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
