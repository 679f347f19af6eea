"""What can be done with places."""

from django.db import transaction

from .models import Place


@transaction.atomic
def keep_place(place: Place) -> Place:
    """Save a place with its path, and the paths of everything inside it."""
    place.path = f"{place.parent.path}, {place.name}" if place.parent else place.name
    place.save()
    for part in place.parts.all():
        keep_place(part)
    return place
