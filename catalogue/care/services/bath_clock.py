"""The clock of a load in a bath: looked in, and set right again."""

from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from catalogue.care.models import BathLoad, BathLook

from .bathing import LONGEST, LOOK_TO, NotNow, been, locked


@transaction.atomic
def look_in(load: BathLoad, *, again_in: timedelta, note: str = "", at: datetime | None = None) -> BathLook:
    """Somebody looked; the next time is `again_in` from now. Raises NotNow once the load is out."""
    load = BathLoad.objects.select_for_update().get(pk=load.pk)
    if load.ended_at:
        raise NotNow("That load is out already.")
    at = max(been(at), load.began_at)
    load.next_look = at + max(timedelta(minutes=5), min(again_in, LOOK_TO))
    load.save(update_fields=["next_look"])
    return BathLook.objects.create(load=load, at=at, note=note)


@transaction.atomic
def set_clock_right(load: BathLoad, *, ago: timedelta, at: datetime | None = None) -> BathLoad:
    """The pieces went in that long ago, whatever was written: the load's times and looks move along.

    For a clock that was changed, or a button pressed late. Raises NotNow once the load is out, and where that
    was before the load before it came out.
    """
    locked(load.bath)
    load = BathLoad.objects.select_for_update().select_related("bath").get(pk=load.pk)
    if load.ended_at:
        raise NotNow("That load is out already.")
    if not timedelta(0) <= ago <= LONGEST * 2:
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
