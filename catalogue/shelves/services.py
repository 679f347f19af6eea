"""What can be done with places."""

from django.db import transaction

from .models import Place


@transaction.atomic
def keep_place(place: Place) -> Place:
    """Save a place with its path, and the paths of everything inside it, whole or not at all."""
    place.save()
    return place
