"""Method one, growth kept: steps begun and done, each with its time and its one treatment."""

from collections.abc import Iterable
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple

from django.db import transaction
from django.utils import timezone

from catalogue.care.care_tables import FACTS, Why, logged_as, why_of
from catalogue.care.models import Treatment, WorkStep
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen_words import Look
from catalogue.specimens.services import set_stage
from dating.facts import Cells, keyed


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
def steps() -> dict[str, Step]:
    """The checklist in its order."""
    columns = ("key", "name", "how", "method", "stage", "mind")
    return keyed(FACTS.rows("growth_kept", columns), _step, "key")


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
def begin_step(find: Specimen, key: str, *, at: datetime | None = None) -> WorkStep:
    """Begin a step; one that is begun already keeps its time. Raises KeyError for no step."""
    step = steps()[key]
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
    step = steps()[key]
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
