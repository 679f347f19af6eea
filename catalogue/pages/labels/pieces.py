"""Which pieces, and which places, labels are asked for: ticked, typed, or all of a place, a town, a dive …"""

from collections.abc import Mapping
from typing import Final

from django.http import QueryDict

from catalogue.common.limits import key_typed
from catalogue.shelves.models import Place
from catalogue.shelves.tree import place_tree
from catalogue.specimens.derived.batches import BATCH
from catalogue.specimens.models import BatchAct, Specimen
from catalogue.specimens.named_finds import NamedFinds, finds_named
from catalogue.specimens.number_list import as_ranges

# Behind the question mark of a link: of what all pieces are meant, and their column.
PIECES_OF: Final[Mapping[str, str]] = {
    "town": "town",
    "maker": "maker",
    "bottler": "bottler",
    "product": "product",
    "dive": "dive",
}


def pieces_named(sent: QueryDict) -> NamedFinds:
    """The finds that are ticked, typed, or named by the link that led here."""
    return finds_named(typed_numbers(sent), also=sent.getlist("find"))


def typed_numbers(sent: QueryDict) -> str:
    """The numbers in the box: as typed, else those of the link."""
    return sent.get("numbers", "") or _of_choice(key_in(sent, "of")) or _of_link(sent)


def key_in(sent: QueryDict, name: str) -> int | None:
    """A row's key behind the question mark; None for anything else."""
    return key_typed(sent.get(name, ""))


def _of_choice(pk: int | None) -> str:
    """The numbers of finds that were chosen together in a list, in the order of choice."""
    batch = BatchAct.objects.filter(pk=pk).first() if pk is not None else None
    keys = batch.finds if batch else []
    numbers: dict[int, str] = {}
    for start in range(0, len(keys), BATCH):
        part = Specimen.everything.filter(pk__in=keys[start : start + BATCH])
        numbers |= dict(part.order_by().values_list("pk", "number"))
    return as_ranges(numbers[key] for key in keys if key in numbers)


def _of_link(sent: QueryDict) -> str:
    """The numbers of all pieces of a place with what is inside it, of a town, a dive …; oldest first."""
    finds = Specimen.objects.still_here()
    if (place := key_in(sent, "place")) is not None:
        finds = finds.filter(place__in=place_tree().inside(place))
    else:
        name = next((name for name in PIECES_OF if key_in(sent, name) is not None), None)
        if name is None:
            return ""
        finds = finds.filter(**{PIECES_OF[name]: key_in(sent, name)})
    order = ("number_year", "number_ordinal", "number_piece", "number_part")
    return as_ranges(finds.order_by(*order).values_list("number", flat=True))


def places_asked(place: Place | None, *, inside: bool) -> list[Place]:
    """The place, and each inside it where that is asked too, in the order of the tree."""
    if place is None:
        return []
    keys = place_tree().inside(place.pk) if inside else [place.pk]
    found = Place.objects.select_related("parent").in_bulk(keys)
    return [found[key] for key in keys if key in found]
