"""Moving finds between places."""

from catalogue.shelves.models import Place
from catalogue.specimens.derived.refresh import refresh_now, refreshing
from catalogue.specimens.models import Move, Specimen


@refreshing()
def move_to(find: Specimen, place: Place | None, why: str = "") -> Specimen:
    """Put a find in a place (or in none) and write the move down; staying where it is writes nothing.

    The row is locked and says where the find stands: each move begins where the one before it ended.
    """
    locked = Specimen.everything.select_for_update(of=("self",)).select_related("place").get(pk=find.pk)
    find.place = locked.place
    if find.place_id == (place.pk if place else None):
        return find
    Move.objects.create(find=find, from_place=locked.place, to_place=place, why=why)
    find.place = place
    find.save(update_fields=["place"])
    refresh_now()
    return find
