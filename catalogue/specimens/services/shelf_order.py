"""The order in which the pieces of a place stand, left to right: one of one's own, else by number."""

import hashlib
from collections.abc import Sequence

from django.db import transaction
from django.db.models import QuerySet

from catalogue.shelves.models import Place
from catalogue.specimens.models import PieceOrder, Specimen
from catalogue.specimens.services.acts import ChangedSince


def pieces_in_order(place: Place) -> list[int]:
    """Keys of the pieces in a place as they stand: those put in order, then the others, the oldest first.

    Two queries, whatever their number.
    """
    return in_shelf_order(Specimen.objects.on_shelf(place), [place.pk])


def in_shelf_order(finds: QuerySet[Specimen], places: Sequence[int]) -> list[int]:
    """Keys of these finds, place by place in the order of `places`, in each as they stand. Two queries."""
    oldest_first = finds.order_by("number_year", "number_ordinal", "number_piece", "number_part")
    rows = list(oldest_first.values_list("pk", "place"))
    stored = PieceOrder.objects.filter(place__in=places).values_list("place", "finds")
    at = {(place, key): n for place, keys in stored for n, key in enumerate(keys)}
    last = len(at)
    which = {key: n for n, key in enumerate(places)}
    rows.sort(key=lambda row: (which.get(row[1], len(which)), at.get((row[1], row[0]), last)))
    return [key for key, _ in rows]


def order_version(keys: list[int]) -> str:
    """Another one for every other order: what a page carries, so that two windows are told."""
    return hashlib.sha256(",".join(map(str, keys)).encode()).hexdigest()[:16]


@transaction.atomic
def stand_before(place: Place, key: int, before: int | None, version: str = "") -> int | None:
    """Put one piece of a place before another, or last; the key before which it stood, None for the last.

    `version`: of the order that was shown. Raises ChangedSince where it is another by now, or where one of
    the two doesn't stand there.
    """
    Place.objects.select_for_update(of=("self",)).get(pk=place.pk)
    keys = pieces_in_order(place)
    if version and version != order_version(keys):
        raise ChangedSince("Nothing was moved: the order here was changed meanwhile. This is how it is now.")
    if key not in keys or (before is not None and before not in keys):
        raise ChangedSince("Nothing was moved: one of the two pieces does not stand here any more.")
    at = keys.index(key)
    stood = keys[at + 1] if at + 1 < len(keys) else None
    if before in (key, stood):
        return stood
    keys.remove(key)
    keys.insert(keys.index(before) if before is not None else len(keys), key)
    PieceOrder.objects.update_or_create(place=place, defaults={"finds": keys})
    return stood
