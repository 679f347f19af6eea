"""Lost or broken, returned to an authority, left in place: when and why, and taken back at will."""

from datetime import date

from django.db import transaction

from catalogue.specimens.models import Specimen
from catalogue.specimens.services import move_to, set_standing

from .models import Departure
from .rules import GONE_UNGIVEN, why_not_marked
from .services import NotGiven, locked_find, open_handover, open_promise, standing_before


@transaction.atomic
def depart(find: Specimen, standing: str, *, on: date, reason: str) -> Departure:
    """A piece is gone, though nobody was given it: its place is free. Raises NotGiven."""
    if standing not in GONE_UNGIVEN:
        raise NotGiven("Say whether it was lost or broken, returned to an authority, or left in place.")
    find = locked_find(find)
    if why := why_not_marked(standing, open_promise(find), open_handover(find)):
        raise NotGiven(why)
    if find.standing == standing:
        raise NotGiven(f"That stands on record already: {find.get_standing_display()}.")
    gone = Departure.objects.create(find=find, standing=standing, on=on, reason=reason)
    set_standing(find, standing)
    if find.place_id:
        move_to(find, None, gone.get_standing_display())
        gone.move = find.moves.order_by("-pk").first()
        gone.save(update_fields=["move"])
    return gone


@transaction.atomic
def undo_departure(find: Specimen, key: int) -> Specimen:
    """It is not gone: its place and its standing from before. Raises NotGiven where either changed since."""
    find = locked_find(find)
    latest = Departure.objects.filter(find=find).order_by("-pk").first()
    if latest is None or latest.pk != key or find.standing != latest.standing:
        raise NotGiven(f"Nothing was undone: the standing of {find.number} was changed again since.")
    latest.put_in_bin()
    place = latest.move.from_place if latest.move else None
    if place and not place.binned_at and find.place is None:
        move_to(find, place, f"not {latest.get_standing_display()}")
    return standing_before(find)
