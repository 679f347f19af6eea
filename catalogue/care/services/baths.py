"""An acid bath from plan to end, and its clock. Every step may be sent twice (two tabs) and happens once."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from catalogue.care.bath_sums import acid_left, sums_of
from catalogue.care.care_tables import OwnTreatment
from catalogue.care.models import Bath, BathLoad, BathLook, BathMember, SoakMember, Treatment
from catalogue.care.services.bath_checks import NotNow, check_gates, check_mixture, check_vessel
from catalogue.care.services.soaks import take_out_of_soak
from catalogue.common.localisation import clock_words
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage

# The first look is after a quarter of an hour, as the steps of a bath say.
LOOK_FROM, LOOK_TO = timedelta(minutes=15), timedelta(hours=4)
LONGEST_BATH = timedelta(hours=12)
RESULT_OF: dict[str, Treatment.Result] = {
    BathMember.Outcome.NONE: Treatment.Result.CLEAN,
    BathMember.Outcome.SOME: Treatment.Result.BETTER,
    BathMember.Outcome.MUCH: Treatment.Result.SAME,
}
CLOCK = (
    "This is before it went in ({at}). If this machine's clock was changed, say first how long the pieces "
    "have been in."
)


def past_or_now(at: datetime | None) -> datetime:
    """The time typed, or now. Raises NotNow for one that is still to come."""
    now = timezone.now()
    if at and at > now + timedelta(minutes=2):
        raise NotNow("This time is still to come. If this machine's clock was changed, set it right first.")
    return at or now


@transaction.atomic
def plan_bath(bath: Bath, finds: Iterable[Specimen]) -> Bath:
    """Save a planned bath with the pieces chosen for it.

    Raises NotNow for a metal vessel, one that holds a soak, and a mixture that is too strong.
    """
    check_vessel(bath)
    check_mixture(bath)
    bath.save()
    for find in finds:
        choose(bath, find)
    return bath


@transaction.atomic
def choose(bath: Bath, find: Specimen) -> BathMember:
    """Choose a piece for the next load. The same one twice is once. Raises NotNow once the bath has ended."""
    if locked_bath(bath).ended_at:
        raise NotNow("This bath has ended.")
    member, _ = BathMember.objects.get_or_create(bath=bath, find=find, in_at=None)
    return member


def leave_out(member: BathMember) -> None:
    """Take a piece that has not gone in off the list. Raises NotNow for one that has."""
    if member.in_at:
        raise NotNow("It is in the bath: take it out instead.")
    member.put_in_bin()


def waiting_pieces(bath: Bath) -> list[BathMember]:
    """The pieces chosen and not yet in."""
    return list(bath.members.filter(in_at=None).select_related("find__dive__site", "find__site"))


@transaction.atomic
def start_load(
    bath: Bath, *, at: datetime | None = None, look_from: timedelta = LOOK_FROM, look_to: timedelta = LOOK_TO
) -> BathLoad:
    """Mix (the first time), put the chosen pieces in and start the clock.

    A second call while that load is in gives the load that is there. Raises Blocked, NotNow, BadQuantity.
    """
    bath = locked_bath(bath)
    running = bath.loads.filter(ended_at=None).first()
    if running:
        return running
    if bath.ended_at:
        raise NotNow("This bath has ended: plan a new one.")
    # It may have been measured, or looked at, again since the plan.
    check_vessel(bath)
    if bath.vessel_taken:
        raise NotNow(f"{bath.vessel} still holds another bath: end that one, or take another vessel.")
    at = past_or_now(at)
    if not timedelta(minutes=5) <= look_from <= look_to <= LONGEST_BATH:
        raise NotNow("Look in after 5 minutes at the earliest, and take them out within 12 hours.")
    members = waiting_pieces(bath)
    if not members:
        raise NotNow("No piece is chosen for it.")
    check_gates(members)
    sums = sums_of(bath, members)
    if not bath.mixed_at:
        check_mixture(bath)
        bath.mixed_at = at
        bath.water_ml, bath.acid_ml = sums.plan.water_ml, sums.plan.acid_ml
        bath.volume_ml, bath.acid_mol = sums.plan.bath.volume_ml, sums.plan.bath.mol
        bath.save()
    elif acid_left(bath).mol_per_l < 0.05:
        raise NotNow("The acid is spent: neutralise this bath and mix a new one.")
    last = bath.loads.order_by("-ordinal").first()
    if last and last.ended_at and at < last.ended_at:
        raise NotNow("This is before the last load came out. If the clock was changed, type the right time.")
    load = BathLoad.objects.create(
        bath=bath,
        ordinal=last.ordinal + 1 if last else 1,
        began_at=at,
        look_from=at + look_from,
        look_to=at + look_to,
        next_look=at + look_from,
    )
    for member in members:
        soaking = SoakMember.objects.filter(find=member.find, out_at=None).first()
        if soaking:
            take_out_of_soak(soaking, at=max(at, soaking.in_at))
        member.load, member.in_at = load, at
        member.save(update_fields=["load", "in_at"])
        set_stage(member.find, Specimen.Stage.CLEANING)
    return load


@transaction.atomic
def take_out_of_bath(
    member: BathMember, outcome: str, *, at: datetime | None = None, note: str = ""
) -> tuple[Treatment, bool]:
    """Take a piece out and write its one treatment. Gives the treatment and whether it was written just now.

    A piece that is out already keeps what was written first. Raises NotNow for one that never went in or a
    time before it did, ValueError for a word that is no outcome.
    """
    outcome = BathMember.Outcome(outcome)
    locked_bath(member.bath)
    member = (
        BathMember.objects.select_for_update(of=("self",))
        .select_related("bath", "load", "find")
        .get(pk=member.pk)
    )
    if member.out_at and member.treatment:
        return member.treatment, False
    if not member.in_at:
        raise NotNow("It never went in.")
    at = past_or_now(at)
    if member.in_at.replace(second=0, microsecond=0) <= at < member.in_at:
        at = member.in_at  # said to the minute, and it is that in which the piece went in
    if at < member.in_at:
        raise NotNow(CLOCK.format(at=f"{clock_words(member.in_at)}"))
    member.treatment = _treatment(member, outcome, at, note)
    member.out_at, member.outcome, member.note = at, outcome, note
    member.save(update_fields=["treatment", "out_at", "outcome", "note"])
    load = member.load
    if load and not load.members.filter(out_at=None).exists():
        load.ended_at = at
        load.save(update_fields=["ended_at"])
    return member.treatment, True


def _treatment(member: BathMember, outcome: str, at: datetime, note: str) -> Treatment:
    bath = member.bath
    parts = f"{float(bath.acid_parts):g} : {float(bath.water_parts):g}"
    return Treatment.objects.create(
        find=member.find,
        method=OwnTreatment.ACID,
        look=member.find.look,
        agents=f"hydrochloric acid and water, {parts}, in {bath.vessel}"[:200],
        strength=_strength(bath),
        begun=member.in_at or at,
        ended=at,
        result=RESULT_OF[outcome],
        note=" ".join(part for part in (f"{BathMember.Outcome(outcome).label}.".capitalize(), note) if part),
        override_reason=member.override_reason,
    )


def _strength(bath: Bath) -> str:
    acid = bath.acid
    words = f"{acid.mol_per_l:.2f} mol/l when mixed" if acid else ""
    return f"{words}, from {bath.strength_label}"[:100]


@transaction.atomic
def end_bath(bath: Bath, how: str, *, at: datetime | None = None, **about: object) -> Bath:
    """Close a bath; `about` may be neutralised_with, neutraliser_g, final_ph, note. Once ended it stays so.

    Raises NotNow while pieces are in it or for a time before it was mixed.
    """
    bath = locked_bath(bath)
    if bath.ended_at:
        return bath
    if bath.members.filter(in_at__isnull=False, out_at=None).exists():
        raise NotNow("Pieces are still in it: take them out first.")
    times = [time for time in (bath.mixed_at, *bath.loads.values_list("ended_at", flat=True)) if time]
    # Set back since, a clock must not keep a bath open: without a time typed the last one known is the least.
    at = past_or_now(at) if at else max([timezone.now(), *times])
    if any(at < time for time in times):
        raise NotNow("It can't end before it began. If this machine's clock was changed, set it right first.")
    bath.ended_at, bath.ended_how = at, Bath.Ended(how) if bath.mixed_at else Bath.Ended.NOT_MIXED
    for name, value in about.items():
        setattr(bath, name, value)
    bath.save()
    for member in waiting_pieces(bath):
        member.put_in_bin()
    return bath


def locked_bath(bath: Bath) -> Bath:
    """The bath as it stands now, its row held until the transaction ends: two tabs take turns."""
    return Bath.objects.select_for_update(of=("self",)).select_related("vessel").get(pk=bath.pk)


@transaction.atomic
def look_in(load: BathLoad, *, again_in: timedelta, note: str = "", at: datetime | None = None) -> BathLook:
    """Somebody looked; the next time is `again_in` from now. Raises NotNow once the load is out."""
    load = BathLoad.objects.select_for_update().get(pk=load.pk)
    if load.ended_at:
        raise NotNow("That load is out already.")
    at = max(past_or_now(at), load.began_at)
    load.next_look = at + max(timedelta(minutes=5), min(again_in, LOOK_TO))
    load.save(update_fields=["next_look"])
    return BathLook.objects.create(load=load, at=at, note=note)


@transaction.atomic
def set_clock_right(load: BathLoad, *, ago: timedelta, at: datetime | None = None) -> BathLoad:
    """The pieces went in that long ago, whatever was written: the load's times and looks move along.

    For a clock that was changed, or a button pressed late. Raises NotNow once the load is out, and where that
    was before the load before it came out.
    """
    locked_bath(load.bath)
    load = BathLoad.objects.select_for_update(of=("self",)).select_related("bath").get(pk=load.pk)
    if load.ended_at:
        raise NotNow("That load is out already.")
    if not timedelta(0) <= ago <= LONGEST_BATH * 2:
        raise NotNow("Say how many minutes ago they went in, a day at the most.")
    began = (at or timezone.now()) - ago
    before = load.bath.loads.filter(ordinal__lt=load.ordinal).order_by("-ordinal").first()
    if before and before.ended_at and began < before.ended_at:
        raise NotNow("That was before the load before it came out.")
    moved = began - load.began_at
    for name in ("began_at", "look_from", "look_to", "next_look"):
        setattr(load, name, getattr(load, name) + moved)
    load.save(update_fields=["began_at", "look_from", "look_to", "next_look"])
    for member in load.members.filter(out_at=None):
        member.in_at = began
        member.save(update_fields=["in_at"])
    bath = load.bath
    if before is None:
        bath.mixed_at = began
        bath.save(update_fields=["mixed_at"])
    return load
