"""What is on the workbench, and for how long."""

from dataclasses import dataclass
from datetime import date

from django.db.models import DateTimeField, F, Min, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.care.services.treating import ORDER, stage_after
from catalogue.common.drawings.silhouette import silhouette
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen

Stage = Specimen.Stage


@dataclass(frozen=True, slots=True)
class Benched:
    """A find on the bench: since when in this stage, what usually follows, and its picture or outline."""

    find: Specimen
    since: date
    days: int
    following: Specimen.Stage | None
    cover: Photo | None
    outline: SafeString


@dataclass(frozen=True, slots=True)
class Row:
    """A stage with the finds that are in it, the longest there first."""

    stage: Specimen.Stage
    finds: list[Benched]


def on_the_bench_since() -> QuerySet[Specimen]:
    """Finds on the bench with `stage_since`, when their present stage began (two look-ups in the history).

    `stage_before` is null where the stage never changed.
    """
    past = Specimen.history.filter(id=OuterRef("pk"))
    other = past.exclude(stage=OuterRef("stage")).order_by("-history_date").values("history_date")[:1]
    began = (
        past.filter(stage=OuterRef("stage"))
        .filter(Q(history_date__gt=OuterRef("stage_before")))
        .values("id")
        .annotate(first=Min("history_date"))
        .values("first")
    )
    return (
        Specimen.objects.on_the_bench()
        .select_related("dive", "place", "town")
        .defer("search_text", "notes", "story")
        .annotate(stage_before=Subquery(other, output_field=DateTimeField()))
        .annotate(stage_since=Coalesce(Subquery(began, output_field=DateTimeField()), F("created")))
    )


def bench() -> list[Row]:
    """The four working stages in their order, each with its finds. Two queries: finds, pictures."""
    today = timezone.localdate()
    finds = list(on_the_bench_since())
    covers = Photo.objects.covers_of([find.pk for find in finds])
    rows = {stage: Row(stage, []) for stage in ORDER[:-1]}
    for find in finds:
        since = timezone.localdate(find.stage_since)
        if find.stage == Stage.WET and find.stage_before is None and find.dive:
            # A piece is wet from the day it came up, not from the evening it was written down.
            since = min(since, find.dive.date)
        rows[Stage(find.stage)].finds.append(
            Benched(
                find,
                since,
                max(0, (today - since).days),
                stage_after(find.stage),
                covers.get(find.pk),
                # safe: drawn from a kind of our own list
                mark_safe("" if find.pk in covers else silhouette(find.kind or "other")),
            )
        )
    for row in rows.values():
        row.finds.sort(key=lambda each: (each.since, each.find.pk))
    return list(rows.values())
