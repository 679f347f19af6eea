"""Why something was found, for the screen: the text around the first word, all words found marked in it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from catalogue.specimens.models import Specimen
from catalogue.specimens.search.kinds import SearchField, find_fields
from catalogue.specimens.search.units import Unit
from catalogue.specimens.search.why import Spot, reasons, spots_in

AROUND = 36


@dataclass(frozen=True, slots=True)
class Hit:
    """Where it was found, and the text around it."""

    field: str
    text: SafeString


def marked(text: str, spots: Sequence[Spot], around: int | None = AROUND) -> SafeString:
    """The text around the first spot (None: the whole text), every spot in it marked."""
    begin, end = 0, len(text)
    if spots and around is not None:
        begin, end = max(0, spots[0][0] - around), min(len(text), spots[0][1] + around)
    parts, done = [], begin
    for first, last in spots:
        if first >= done and last <= end:
            parts.append((text[done:first], text[first:last]))
            done = last
    body = format_html_join("", "{}<mark>{}</mark>", parts)
    return format_html(
        "{}{}{}{}", "… " if begin else "", body, text[done:end], " …" if end < len(text) else ""
    )


def marked_whole(text: str, units: Sequence[Unit]) -> SafeString:
    """A whole name with the words in it marked."""
    return marked(text, sorted(set(spots_in(text, units).values())), None)


def marked_reasons(fields: Iterable[SearchField], units: Sequence[Unit], most: int = 2) -> list[Hit]:
    """The fields that hold the words, each with the words marked."""
    return [Hit(why.field, marked(why.text, why.spots)) for why in reasons(fields, units, most)]


def fields_with_years(
    find: Specimen, units: Sequence[Unit], *, visitor: bool = False
) -> Iterator[SearchField]:
    """A find's fields; where years were looked for, those it was made in after them."""
    yield from (field for field in find_fields(find) if field.public or not visitor)
    for unit in units:
        if unit.years and find.made_words:
            yield SearchField("made", f"{find.made_words} ({unit.written})")
