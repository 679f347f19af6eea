"""Full-text search: why a find came up, as a snippet of the field with the words marked in it.

Worked out for the finds of one page only."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from catalogue.common.text import folded
from catalogue.specimens.models import Specimen

AROUND = 36


def spots(text: str, words: Sequence[str]) -> list[tuple[int, int]]:
    """Where folded words occur in the text as typed: begin and end of each, first come first."""
    plain, at = _folded_with_places(text)
    found: list[tuple[int, int]] = []
    for word in words:
        begin = plain.find(word)
        if begin >= 0:
            found.append((at[begin], at[begin + len(word) - 1] + 1))
    return sorted(set(found))


def snippet(text: str, words: Sequence[str]) -> SafeString:
    """The text around the first word found, all found words marked; "" where there is none."""
    found = spots(text, words)
    if not found:
        return SafeString("")
    begin, end = max(0, found[0][0] - AROUND), min(len(text), found[0][1] + AROUND)
    parts, done = [], begin
    for first, last in found:
        if first >= done and last <= end:
            parts += [(text[done:first], text[first:last])]
            done = last
    body = format_html_join("", "{}<mark>{}</mark>", parts)
    return format_html(
        "{}{}{}{}", "… " if begin else "", body, text[done:end], " …" if end < len(text) else ""
    )


def _folded_with_places(text: str) -> tuple[str, list[int]]:
    """The text folded as search folds it, and for each folded character its place in the text."""
    plain: list[str] = []
    at: list[int] = []
    for i, sign in enumerate(text):
        for c in unicodedata.normalize("NFKD", sign):
            if not unicodedata.combining(c):
                for low in c.casefold():
                    plain.append(low)
                    at.append(i)
    return "".join(plain), at


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
