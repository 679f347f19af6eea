"""Corrections of the bench: a piece tapped out wrongly is in again, a soak began at another time."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.care.models import BathMember, Soak, SoakMember
from catalogue.care.services.bath_checks import NotNow
from catalogue.care.services.baths import locked_bath
from catalogue.care.services.soaks import SoakRefused, came_last, no_bath_in
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage


@transaction.atomic
def put_back_in_bath(member: BathMember) -> BathMember:
    """A piece that was tapped out wrongly is in the bath as before; its treatment goes into the bin.

    The clock of its load runs on as it was. Raises NotNow once the bath has ended, another load is in it, or
    the piece is in another water.
    """
    bath = locked_bath(member.bath)
    member = (
        BathMember.objects.select_for_update(of=("self",)).select_related("load", "find").get(pk=member.pk)
    )
    if not member.out_at:
        return member
    if bath.ended_at:
        raise NotNow("This bath has ended: what came out of it stays out.")
    load = member.load
    if any(each.pk != member.load_id for each in bath.loads.filter(ended_at=None)):
        raise NotNow("Another load is in this bath by now: take that out first.")
    if BathMember.objects.filter(find=member.find, in_at__isnull=False, out_at=None).exists():
        raise NotNow("It is in another bath by now: take it out there first.")
    if SoakMember.objects.filter(find=member.find, out_at=None).exists():
        raise NotNow("It is in a soak by now: take it out there first.")
    written = member.treatment
    member.out_at, member.outcome, member.note, member.treatment = None, "", "", None
    member.save(update_fields=["out_at", "outcome", "note", "treatment"])
    if written and not written.binned_at:
        written.put_in_bin()
    if load and load.ended_at:
        load.ended_at = None
        load.save(update_fields=["ended_at"])
    return member


@transaction.atomic
def put_back_in_soak(member: SoakMember) -> SoakMember:
    """A piece that was tapped out wrongly is in the water as before; its treatment goes into the bin.

    A soak that ended with it goes on. Raises SoakRefused where the piece is in another water or bath by now.
    """
    soak = Soak.objects.select_for_update().get(pk=member.soak_id)
    member = SoakMember.objects.select_for_update(of=("self",)).select_related("find").get(pk=member.pk)
    if not member.out_at:
        return member
    number = member.find.number
    if SoakMember.objects.filter(find=member.find, out_at=None).exists():
        raise SoakRefused(f"{number} is in another soak by now: take it out there first.")
    if BathMember.objects.filter(find=member.find, in_at__isnull=False, out_at=None).exists():
        raise SoakRefused(f"{number} is in an acid bath by now: take it out there first.")
    if SoakMember.objects.filter(find=member.find, in_at__gt=member.out_at).exists():
        raise SoakRefused(f"{number} was in another soak since: put it into this one anew.")
    written = member.treatment
    member.out_at, member.treatment = None, None
    member.save(update_fields=["out_at", "treatment"])
    if written and not written.binned_at:
        written.put_in_bin()
    if soak.ended_at:
        soak.ended_at = None
        soak.save(update_fields=["ended_at"])
    set_stage(member.find, Specimen.Stage.SOAKING)
    return member


@transaction.atomic
def keep_soak(soak: Soak, fields: Sequence[str]) -> Soak:
    """Save what a form changed; a beginning that was put right takes along the pieces that went in then.

    Raises SoakRefused where a piece would leave before it came, the soak end before it began, or its vessel
    holds a bath.
    """
    before = Soak.objects.select_for_update().get(pk=soak.pk)
    if soak.vessel_id != before.vessel_id:
        no_bath_in(soak)
    if soak.began_at != before.began_at:
        if soak.ended_at and soak.ended_at < soak.began_at:
            raise SoakRefused("It can't begin after it ended.")
        for member in soak.members.select_related("find"):
            if member.in_at == before.began_at or member.in_at < soak.began_at:
                if member.out_at and member.out_at < soak.began_at:
                    raise SoakRefused(f"{member.find.number} came out before that: take an earlier time.")
                member.in_at = max(soak.began_at, came_last(member))
                member.save(update_fields=["in_at"])
    soak.save(update_fields=fields)
    return soak
