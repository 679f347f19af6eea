"""What can be done with places."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.common.records import hold_below

from .models import Place
from .tree import sibling_key


class OrderedMeanwhile(ValueError):
    """Another page put them in another order since; the message says so."""


@transaction.atomic
def keep_place(place: Place, fields: Sequence[str] | None = None) -> Place:
    """Save a place with its path, and the paths of everything inside it, whole or not at all.

    `fields`: what a form changed on one that is there already. Raises PutInBinMeanwhile where what it is to
    be in lies in the bin.
    """
    if place.pk is None or "parent" in (fields or ()):
        hold_below(place, "parent")
        if place.pk is not None:
            # the last among its new neighbours
            place.order, fields = None, [*(fields or ()), "order"]
    place.save(update_fields=fields)
    return place


def place_named(name: str) -> Place | None:
    """The place of that name at the top (case ignored), made where there is none; None for a blank name."""
    name = " ".join(name.split())
    if not name:
        return None
    known = Place.objects.filter(name__iexact=name, parent=None).first()
    return known or keep_place(Place(name=name))


@transaction.atomic
def change_places(place: Place, beside: Place) -> None:
    """Two neighbours among those inside the same one change places; done once more, it is undone.

    Raises OrderedMeanwhile where they don't stand side by side.
    """
    siblings = sorted(
        Place.objects.filter(parent=place.parent_id).select_for_update(of=("self",)), key=sibling_key
    )
    keys = [each.pk for each in siblings]
    at, by = (keys.index(each.pk) if each.pk in keys else -9 for each in (place, beside))
    if abs(at - by) != 1 or min(at, by) < 0:
        raise OrderedMeanwhile(f"Nothing was moved: {place} and {beside} don't stand side by side any more.")
    siblings[at], siblings[by] = siblings[by], siblings[at]
    for n, each in enumerate(siblings, 1):
        if each.order != n:
            each.order = n
            each.save(update_fields=["order"])
