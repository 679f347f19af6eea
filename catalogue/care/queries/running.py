"""What is going on at the bench: baths and soaks, and when somebody has to come."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Prefetch
from django.utils import timezone

from catalogue.care.levelling import Level, levelled_off
from catalogue.care.models import Bath, BathLoad, BathMember, Soak, SoakMember, SoakReading


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
    level: Level
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
    readings = list(soak.readings.all())
    measured = [reading for reading in readings if reading.value is not None]
    changed = [reading.at for reading in readings if reading.changed_water]
    return SoakRow(
        soak,
        [member for member in soak.members.all() if not member.out_at],
        measured[-1] if measured else None,
        max([soak.began_at, *changed]) + timedelta(days=soak.change_every_days),
        levelled_off(
            [float(reading.value) for reading in measured],
            float(soak.tap) if soak.tap is not None else None,
            soak.rule,
        ),
        now,
    )
