"""Why a find came up in a search: the field and the words in it. Worked out for one page's finds only."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from catalogue.common.text import folded
from catalogue.specimens.models import Specimen

from .snippets import snippet, spots

# Read for the reasons, one query each for a whole page of finds.
PREFETCHED = ("inscriptions", "readings", "opinions")


@dataclass(frozen=True, slots=True)
class Hit:
    """Where it was found, and the text around it."""

    field: str
    text: SafeString


def search_words(text: str) -> list[str]:
    """The words a search looks for."""
    return folded(text).split()[:12]


def reasons(find: Specimen, words: Sequence[str], most: int = 2) -> list[Hit]:
    """The fields that hold the words, those that explain the most words first as they come up."""
    missing, hits = set(words), []
    for field, text in _fields(find):
        here = {word for word in missing if spots(text, [word])}
        if here:
            hits.append(Hit(field, snippet(text, sorted(here, key=words.index))))
            missing -= here
        if not missing or len(hits) == most:
            break
    return hits


def _fields(find: Specimen) -> Iterator[tuple[str, str]]:
    """What a person typed about it, in the order of what explains a hit best."""
    yield "number", find.number
    yield "older number", find.older_numbers
    yield "field tag", find.field_tag
    yield "what it is", find.what
    for inscription in find.inscriptions.all():
        yield f"lettering on the {inscription.get_where_display()}", inscription.text.replace("/", " ")
    for reading in find.readings.all():
        yield f"mark on the {reading.get_where_display()}", reading.letters
    yield "town", str(find.town or "")
    yield "maker", str(find.maker or "")
    yield "bottler", str(find.bottler or "")
    yield "product", str(find.product or "")
    yield "kind of vessel", find.get_kind_display()
    yield "what it held", find.get_contents_display()
    yield "colour", find.get_colour_display()
    yield "site", str(find.where_found or "")
    yield "place", str(find.place or "")
    yield "where on the site", find.where_on_site
    yield "found with", find.found_with
    yield "notes", find.notes
    yield "story", find.story
    for opinion in find.opinions.all():
        yield f"opinion on the {opinion.get_about_display()}", f"{opinion.value} {opinion.reason}"
