"""What can be done with places."""

from collections.abc import Sequence

from django.db import transaction

from catalogue.common.records import hold_below

from .models import Place


@transaction.atomic
def keep_place(place: Place, fields: Sequence[str] | None = None) -> Place:
    """Save a place with its path, and the paths of everything inside it, whole or not at all.

    `fields`: what a form changed on one that is there already. Raises PutInBinMeanwhile where what it is to
    be in lies in the bin.
    """
    if place.pk is None or "parent" in (fields or ()):
        hold_below(place, "parent")
    place.save(update_fields=fields)
    return place


def place_named(name: str) -> Place | None:
    """The place of that name at the top (case ignored), made where there is none; None for a blank name."""
    name = " ".join(name.split())
    if not name:
        return None
    known = Place.objects.filter(name__iexact=name, parent=None).first()
    return known or keep_place(Place(name=name))
