"""Soaking the salt out (desalination): pieces in, readings, water changes, pieces out."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from decimal import Decimal
from types import MappingProxyType

from django.db import transaction
from django.utils import timezone

from catalogue.care.acts import Act, is_left_alone
from catalogue.care.care_tables import OwnTreatment
from catalogue.care.models import BathMember, Soak, SoakMember, SoakReading, Treatment
from catalogue.care.services.permits import permit, permit_each
from catalogue.care.stored_flags import read
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage

ENDED = "This soak has ended."
IN_ACID = "it is in an acid bath: take it out first"
NO_REASONS: Mapping[str, str] = MappingProxyType({})


class SoakRefused(ValueError):
    """What can't be done; the message says why."""


@transaction.atomic
def start_soak(soak: Soak, finds: Iterable[Specimen], *, reasons: Mapping[str, str] = NO_REASONS) -> Soak:
    """Save a soak and put pieces in, from when it began: that may be long ago. `reasons` by a piece's number.

    Raises SoakRefused for a vessel with a bath in it; Hazard and HazardAsksReason for what a piece alone has,
    HazardAsksByPiece for several.
    """
    no_bath_in(soak)
    finds = list(finds)
    permit_each(finds, Act.SOAK, reasons)
    soak.save()
    for find in finds:
        _put_in(soak, find, soak.began_at)
    return soak


def no_bath_in(soak: Soak) -> None:
    """Raises SoakRefused where a mixed bath stands in its vessel."""
    vessel = soak.vessel
    if vessel is None or soak.ended_at:
        return
    if vessel.baths.filter(mixed_at__isnull=False, ended_at=None).exists():
        raise SoakRefused(f"{vessel} holds an acid bath: end that one, or take another vessel.")


def came_last(member: SoakMember) -> datetime:
    """When the piece last came out of another water or a bath: it wasn't in this one before."""
    others = SoakMember.objects.filter(find=member.find_id, out_at__isnull=False).exclude(pk=member.pk)
    if member.out_at:
        others = others.filter(out_at__lte=member.out_at)
    baths = BathMember.objects.filter(find=member.find_id, out_at__isnull=False)
    if member.out_at:
        baths = baths.filter(out_at__lte=member.out_at)
    times = [*others.values_list("out_at", flat=True), *baths.values_list("out_at", flat=True)]
    return max((time for time in times if time), default=datetime.min.replace(tzinfo=UTC))


@transaction.atomic
def put_in_soak(soak: Soak, find: Specimen, *, at: datetime | None = None, reason: str = "") -> SoakMember:
    """A piece into the water; out of the water it was in.

    Raises SoakRefused for an ended soak or a bath, Hazard and HazardAsksReason for what the piece has.
    """
    permit([find], Act.SOAK, reason)
    return _put_in(soak, find, at or timezone.now())


@transaction.atomic
def put_all_in_soak(
    soak: Soak, finds: Iterable[Specimen], *, reasons: Mapping[str, str] = NO_REASONS
) -> list[SoakMember]:
    """Pieces into the water, all of them or none. Raises as `start_soak`."""
    finds = list(finds)
    permit_each(finds, Act.SOAK, reasons)
    now = timezone.now()
    return [_put_in(soak, find, now) for find in finds]


def _put_in(soak: Soak, find: Specimen, at: datetime) -> SoakMember:
    """The same for a piece that may go in."""
    if Soak.objects.select_for_update().get(pk=soak.pk).ended_at:
        raise SoakRefused(ENDED)
    if in_acid([find.pk]):
        raise SoakRefused(f"{find.number}: {IN_ACID}.")
    there = SoakMember.objects.select_for_update().filter(find=find, out_at=None).first()
    if there and there.soak_id == soak.pk:
        return there
    if there:
        take_out_of_soak(there, at=max(at, there.in_at))
    set_stage(find, Specimen.Stage.SOAKING)
    member = SoakMember(soak=soak, find=find)
    member.in_at = max(at, soak.began_at, came_last(member))
    member.save()
    return member


def in_acid(keys: Iterable[int]) -> set[int]:
    """Which of these finds are in an acid bath now."""
    inside = BathMember.objects.filter(find__in=keys, in_at__isnull=False, out_at=None)
    return set(inside.values_list("find_id", flat=True))


def read_soak(
    soak: Soak, value: Decimal | None, *, changed: bool = False, at: datetime | None = None, note: str = ""
) -> SoakReading:
    """Write down a reading, a change of water, or both. Raises SoakRefused for neither."""
    if value is None and not changed:
        raise SoakRefused("Type a reading, or say that the water was changed.")
    return SoakReading.objects.create(
        soak=soak, value=value, changed_water=changed, at=at or timezone.now(), note=note
    )


@transaction.atomic
def take_out_of_soak(
    member: SoakMember, *, at: datetime | None = None, stage: str = ""
) -> tuple[Treatment, bool]:
    """Take a piece out and write its one treatment. Gives it and whether it was written just now.

    A piece that is left alone stays wet, whatever `stage` was to be next.
    Raises SoakRefused for a time before it went in.
    """
    member = (
        SoakMember.objects.select_for_update(of=("self",)).select_related("soak", "find").get(pk=member.pk)
    )
    if member.out_at and member.treatment:
        return member.treatment, False
    # Set back since, a clock must not keep a piece in the water: untyped, it left no sooner than it came.
    at = at or max(timezone.now(), member.in_at)
    if at < member.in_at:
        raise SoakRefused(
            "This is before it went in. If this machine's clock was changed, type the right time."
        )
    soak = member.soak
    changes = soak.readings.filter(changed_water=True, at__gte=member.in_at, at__lte=at).count()
    last = soak.readings.filter(value__isnull=False, at__gte=member.in_at, at__lte=at).last()
    words = [f"{changes} change{'' if changes == 1 else 's'} of water"]
    if last and last.value is not None:
        words.append(f"last reading {float(last.value):g} {soak.get_unit_display()}")
    member.treatment = Treatment.objects.create(
        find=member.find,
        method=OwnTreatment.SOAK,
        look=member.find.look,
        agents=f"fresh water, {soak}"[:200],
        begun=member.in_at,
        ended=at,
        note=", ".join(words) + ".",
    )
    member.out_at = at
    member.save(update_fields=["treatment", "out_at"])
    if stage:
        # As stored: if it were wrong, the piece would at worst be left wet.
        alone = is_left_alone(read(member.find.care_flags))
        set_stage(member.find, Specimen.Stage.WET if alone else stage)
    return member.treatment, True


@transaction.atomic
def end_soak(soak: Soak, *, at: datetime | None = None, stage: str = "") -> Soak:
    """Take everything out and close the soak. Once ended it stays so."""
    soak = Soak.objects.select_for_update().get(pk=soak.pk)
    if soak.ended_at:
        return soak
    at = max(at or timezone.now(), soak.began_at)
    for member in soak.members.filter(out_at=None):
        take_out_of_soak(member, at=max(at, member.in_at), stage=stage)
    soak.ended_at = at
    soak.save(update_fields=["ended_at"])
    return soak
