"""What can be done with places."""

from collections.abc import Sequence

from django.db import transaction

from .models import Place


@transaction.atomic
def keep_place(place: Place, fields: Sequence[str] | None = None) -> Place:
    """Save a place with its path, and the paths of everything inside it, whole or not at all.

    `fields`: what a form changed on one that is there already.
    """
    place.save(update_fields=fields)
    return place
