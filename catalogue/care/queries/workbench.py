"""What is on the workbench: finds by stage and for how long, baths and soaks and when they are due."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, TypedDict

from django.db.models import DateTimeField, F, Min, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.care.acts import is_left_alone
from catalogue.care.models import Bath, BathLoad, BathMember, Soak, SoakMember, SoakReading
from catalogue.care.plateau import Plateau, judge_plateau, readings_of
from catalogue.care.services.treatments import STAGE_ORDER, stage_after
from catalogue.care.stored_flags import read
from catalogue.common.drawings.silhouette import silhouette
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.words import Stage

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations


@dataclass(frozen=True, slots=True)
class BathRow:
    """A bath that has not ended; `load` is what is in it, `due` when somebody looks next."""

    bath: Bath
    load: BathLoad | None
    inside: list[BathMember]
    chosen: list[BathMember]
    now: datetime

    @property
    def state(self) -> str:
        """ "planned", "running" or "resting" (mixed, nothing in it)."""
        if self.load:
            return "running"
        return "resting" if self.bath.mixed_at else "planned"

    @property
    def due(self) -> datetime | None:
        """The next look, never later than when all have to be out."""
        return min(self.load.next_look, self.load.look_to) if self.load else None

    @property
    def late(self) -> bool:
        """Past the time when all have to be out."""
        return bool(self.load and self.now >= self.load.look_to)

    @property
    def clock_set_back(self) -> bool:
        """The clock now says less than when they went in: it was changed."""
        return bool(self.load and self.now < self.load.began_at)

    @property
    def to_look(self) -> bool:
        return bool(self.due and self.now >= self.due)


@dataclass(frozen=True, slots=True)
class SoakRow:
    """A soak that goes on, with its last reading and its next change of water."""

    soak: Soak
    members: list[SoakMember]
    last: SoakReading | None
    next_change: datetime
    level: Plateau
    # The latest first; beside each why it doesn't count, empty where it does or says nothing of the salt.
    readings: list[tuple[SoakReading, str]]
    now: datetime

    @property
    def days(self) -> int:
        return max(0, (timezone.localdate(self.now) - timezone.localdate(self.soak.began_at)).days)

    @property
    def change_due(self) -> bool:
        return self.now >= self.next_change


def open_baths(now: datetime | None = None) -> list[BathRow]:
    """Baths that have not ended, the one most due first. Three queries: baths, pieces, loads."""
    now = now or timezone.now()
    members = BathMember.objects.filter(out_at=None).select_related("find")
    baths = (
        Bath.objects.filter(ended_at=None)
        .select_related("vessel")
        .prefetch_related(
            Prefetch("members", members), Prefetch("loads", BathLoad.objects.filter(ended_at=None))
        )
    )
    rows = [bath_row(bath, now) for bath in baths]
    return sorted(rows, key=lambda row: (row.due is None, row.due or now, row.bath.pk))


def bath_row(bath: Bath, now: datetime) -> BathRow:
    """A bath whose open loads and pieces still in it are at hand."""
    members = list(bath.members.all())
    return BathRow(
        bath,
        next((load for load in bath.loads.all() if not load.ended_at), None),
        [member for member in members if member.in_at and not member.out_at],
        [member for member in members if not member.in_at],
        now,
    )


def open_soaks(now: datetime | None = None) -> list[SoakRow]:
    """Soaks that go on, the next change first. Three queries: soaks, pieces, readings."""
    now = now or timezone.now()
    soaks = (
        Soak.objects.filter(ended_at=None)
        .select_related("vessel")
        .prefetch_related(
            Prefetch("members", SoakMember.objects.filter(out_at=None).select_related("find")), "readings"
        )
    )
    return sorted((soak_row(soak, now) for soak in soaks), key=lambda row: row.next_change)


def soak_row(soak: Soak, now: datetime) -> SoakRow:
    """A soak with its readings judged."""
    rows = list(soak.readings.all())
    inside = [member for member in soak.members.all() if not member.out_at]
    came = [member.in_at for member in inside]
    changed = [row.at for row in rows if row.changed_water]
    told = [(row.at, None if row.value is None else float(row.value), row.changed_water) for row in rows]
    judged = readings_of(told, soak.began_at, came)
    measured = [row for row in rows if row.value is not None]
    why_not = {row.pk: judgement.why_not(soak.rule) for row, judgement in zip(measured, judged, strict=True)}
    return SoakRow(
        soak,
        inside,
        measured[-1] if measured else None,
        max([soak.began_at, *changed]) + timedelta(days=soak.change_every_days),
        judge_plateau(judged, float(soak.tap) if soak.tap is not None else None, soak.rule),
        [(row, why_not.get(row.pk, "")) for row in reversed(rows)],
        now,
    )


@dataclass(frozen=True, slots=True)
class BenchPiece:
    """A find on the bench: since when in this stage, what usually follows, and its picture or outline."""

    find: Specimen
    since: date
    days: int
    following: Stage | None
    cover: Photo | None
    outline: SafeString

    @property
    def leave_alone(self) -> bool:
        """Nothing is done to it here, so that nothing is offered. As stored: no query."""
        return is_left_alone(read(self.find.care_flags))


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage with the finds that are in it, the longest there first."""

    stage: Stage
    finds: list[BenchPiece]


class SinceWhen(TypedDict):
    """What the bench asks beside a find: when its stage began, and the moment before."""

    stage_since: datetime
    stage_before: datetime | None


if TYPE_CHECKING:
    SpecimenOnBench = WithAnnotations[Specimen, SinceWhen]


def on_the_bench_since() -> "QuerySet[SpecimenOnBench]":
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
        .defer("notes", "story")
        .annotate(stage_before=Subquery(other, output_field=DateTimeField()))
        .annotate(stage_since=Coalesce(Subquery(began, output_field=DateTimeField()), F("created")))
    )


def finds_by_stage() -> list[StageRow]:
    """The four working stages in their order, each with its finds. Two queries: finds, pictures."""
    today = timezone.localdate()
    finds = list(on_the_bench_since())
    covers = Photo.objects.covers_of([find.pk for find in finds])
    rows = {stage: StageRow(stage, []) for stage in STAGE_ORDER[:-1]}
    for find in finds:
        since = timezone.localdate(find.stage_since)
        if find.stage == Stage.WET and find.stage_before is None and find.dive:
            # A piece is wet from the day it came up, not from the evening it was written down.
            since = min(since, find.dive.date)
        rows[Stage(find.stage)].finds.append(
            BenchPiece(
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
