"""What can be done in care: looking at a find, and treating it."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.care.cautions import waits
from catalogue.care.models import ConditionReport, Damage, Treatment
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage

# The order that most pieces take; any stage may be skipped or gone back to.
ORDER = [Specimen.Stage(value) for value in ("wet", "soaking", "cleaning", "drying", "done")]


class ReasonNeeded(ValueError):
    """The site of the find is on hold: this treatment is written down only with a reason."""


@transaction.atomic
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
    if waits(treatment.method, treatment.find.where_found) and not treatment.override_reason.strip():
        raise ReasonNeeded("This site is on hold for that treatment: write down why it was done.")
    treatment.save()
    if stage and stage != treatment.find.stage:
        set_stage(treatment.find, stage)
    return treatment


def stage_after(stage: str) -> Specimen.Stage | None:
    """The next stage in the usual order; None after the last."""
    place = ORDER.index(Specimen.Stage(stage))
    return ORDER[place + 1] if place + 1 < len(ORDER) else None
