"""What is said of labels that were read on a walk round: which pieces, and where they are recorded."""

from collections import Counter
from collections.abc import Sequence

from catalogue.common.text import isolated
from catalogue.pages.shelves.check.codes import CodesSorted
from catalogue.shelves.models import Place
from catalogue.shelves.tree import PlaceTree

# Named one by one up to so many, then counted.
SAID_BY_NUMBER = 3


def sentences_of(
    found: CodesSorted, tree: PlaceTree, places: Sequence[int], pictures: int, stand_in: Place | None
) -> str:
    """ "12 labels of pieces read in 2 pictures: 10 ticked as here, 2 not recorded here." …

    `places`: those that the check goes round; `stand_in`: the one in which they were said to stand.
    """
    sentences = [_ticked(found, places, pictures, stand_in)]
    if len(places) > 1 and not stand_in:
        sentences += _recorded(found, tree, places)
    sentences += _places_read(found, places, stand_in)
    if unknown := len(found.unknown):
        sentences.append(
            "1 code names nothing on record; it is listed below."
            if unknown == 1
            else f"{unknown} codes name nothing on record; they are listed below."
        )
    return " ".join(sentences)


def _ticked(found: CodesSorted, places: Sequence[int], pictures: int, stand_in: Place | None) -> str:
    labels = len(found.finds)
    said = f"{labels} label{'' if labels == 1 else 's'} of pieces read in "
    said += "1 picture" if pictures == 1 else f"{pictures} pictures"
    strays = sum(find.place_id not in places for find in found.finds)
    others = [find for find in found.finds if stand_in and find.place_id not in (stand_in.pk, None)]
    wrong_place = [find for find in others if find.place_id in places]
    parts = []
    if strays or wrong_place:
        parts.append(f"{labels - strays - len(wrong_place)} ticked as here")
    if wrong_place:
        named = ", ".join(
            f"{find.number} ({isolated(str(find.place))})" for find in wrong_place[:SAID_BY_NUMBER]
        )
        more = f" and {len(wrong_place) - SAID_BY_NUMBER} more" if len(wrong_place) > SAID_BY_NUMBER else ""
        parts.append(f"{len(wrong_place)} recorded in another place inside: {named}{more}")
    if strays:
        parts.append(f"{strays} not recorded here")
    return f"{said}{': ' if parts else ''}{', '.join(parts)}."


def _recorded(found: CodesSorted, tree: PlaceTree, places: Sequence[int]) -> list[str]:
    """ "By the record they stand in Shelf 1 (10) and Shelf 2 (1: 2026.0.7)." Only where there are several."""
    inside = [find for find in found.finds if find.place_id in places]
    counts = Counter(key for find in inside if (key := find.place_id) is not None)
    if len(counts) < 2:
        return []
    said = []
    for key, count in counts.most_common():
        numbers = [find.number for find in inside if find.place_id == key]
        which = f": {', '.join(numbers)}" if count <= SAID_BY_NUMBER else ""
        said.append(f"{isolated(tree.place[key].name)} ({count}{which})")
    return [f"By the record they stand in {', '.join(said[:-1])} and {said[-1]}."]


def _places_read(found: CodesSorted, places: Sequence[int], stand_in: Place | None) -> list[str]:
    """A place's own label does not say which labels hang there: that is asked, never assumed."""
    if not found.places:
        return []
    inside = [place for place in found.places if place.pk in places[1:] and place != stand_in]
    other = [isolated(str(place)) for place in found.places if place.pk not in places]
    said = []
    if other:
        said.append(f"A label of another place was read too: {', '.join(other)}.")
    if len(inside) == 1 and any(find.place_id != inside[0].pk for find in found.finds):
        name = isolated(inside[0].name)
        said.append(
            f"The label of {name} was read too. If all these stand in {name}, "
            "choose it and send the picture again."
        )
    elif inside:
        named = ", ".join(isolated(place.name) for place in inside)
        said.append(f"Of places inside these labels were read: {named}.")
    elif not other:
        said.append("The place's own label was read.")
    return said
