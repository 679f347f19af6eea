"""What the codes of labels stand for: pieces, places, or nothing on record."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalogue.labels.scanned import place_key_of
from catalogue.photos.qr_codes import TAG, tag_or_number
from catalogue.shelves.models import Place
from catalogue.specimens.models import Specimen

LONGEST_CODE = 200  # of what is shown of a code that names nothing


@dataclass(slots=True)
class CodesSorted:
    """Pieces and places that codes name, each once; and the texts of the others."""

    finds: list[Specimen] = field(default_factory=list)
    places: list[Place] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)


def sort_codes(texts: Iterable[str]) -> CodesSorted:
    """Look them up, whatever machine an address names. Three queries.

    A field tag stands for its piece where one piece alone has it.
    """
    meant = {text: tag_or_number(text) for text in texts}
    keys = {text: place_key_of(text) for text in meant}
    tags = {code for code in meant.values() if TAG.fullmatch(code)}
    numbers = set(meant.values()) - tags - {""}
    finds = {find.number: find for find in Specimen.objects.filter(number__in=numbers)}
    tagged: dict[str, list[Specimen]] = {}
    for find in Specimen.objects.filter(field_tag__in=tags) if tags else ():
        tagged.setdefault(find.field_tag, []).append(find)
    finds |= {tag: there[0] for tag, there in tagged.items() if len(there) == 1}
    places = Place.objects.in_bulk([key for key in keys.values() if key is not None])
    found = CodesSorted()
    for text, code in meant.items():
        key = keys[text]
        if code in finds:
            if finds[code] not in found.finds:
                found.finds.append(finds[code])
        elif key in places:
            if places[key] not in found.places:
                found.places.append(places[key])
        else:
            found.unknown.append(text[:LONGEST_CODE])
    return found
