"""What was found, as the sheet under the box and the page of the search show it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.pages.parts.marked_words import Hit, fields_with_years, marked_reasons, marked_whole
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen
from catalogue.specimens.search.answers import Answer, FoundKind
from catalogue.specimens.search.kinds import FIND, Fields
from catalogue.specimens.search.published import PublishedRow
from catalogue.specimens.search.understanding import Replaced
from catalogue.specimens.search.units import Unit

REFERENCE = "reference"
# Fields that stand in a row's own line, where the words are marked as well.
IN_THE_LINE = frozenset({"name", "number", "what it is", "dive"})
PART_WORDS = {"marks": "mark", "features": "feature", "words": "word of the trade", "phrases": "phrase"}


@dataclass(frozen=True, slots=True)
class ShownRow:
    """One thing found: its name with the words marked, what stands beside it, and why it was found."""

    url: str
    name: SafeString
    beside: SafeString | str
    hits: Sequence[Hit]
    find: Specimen | None = None


@dataclass(frozen=True, slots=True)
class FoundGroup:
    """All that was found of one kind, and where the rest of it is."""

    key: str
    heading: str
    rows: list[ShownRow]
    total: int
    how_many: str
    all_url: str
    all_words: str


@dataclass(frozen=True, slots=True)
class OtherSearch:
    """Another search that may be meant."""

    words: str
    url: str


def groups_of(answer: Answer, most: int) -> list[FoundGroup]:
    """Every kind that something was found of, in the order of the house; the reference last. No query."""
    units, text = answer.understood.units, answer.understood.typed.text
    groups = [
        FoundGroup(
            found.kind.key,
            found.kind.heading,
            [_row(found, row, units, answer.understood.visitor) for row in found.rows],
            found.total,
            _how_many(found),
            *_all(found, text, answer.understood.visitor),
        )
        for found in answer.found
    ]
    if answer.published:
        total = len(answer.published)
        all_url = address(text, only=REFERENCE) if total > most else ""
        rows = [_published(row, units) for row in answer.published[:most]]
        groups.append(
            FoundGroup(
                REFERENCE, "Reference", rows, total, str(total), all_url, f"All {total} of the reference"
            )
        )
    return groups


def _all(found: FoundKind, text: str, visitor: bool) -> tuple[str, str]:
    """Where all of a kind are, and that link's words; empty where all are shown. Finds: always the list."""
    heading = found.kind.heading.lower()
    number = f"{found.total:,} " if found.counted else ""
    if found.kind is FIND and not visitor:
        what = "The find" if found.total == 1 else f"All {number}finds"
        return f"{reverse('finds:finds')}?{urlencode({'q': text})}", f"{what} with “{text}”"
    if found.total <= len(found.rows):
        return "", ""
    return address(text, only=found.kind.key), f"All {number}{heading}"


def _how_many(found: FoundKind) -> str:
    """Very many are not counted."""
    return f"{found.total:,}" if found.counted else f"more than {found.total:,}"


def _row(found: FoundKind, row: Any, units: Sequence[Unit], visitor: bool) -> ShownRow:
    fields: Fields = found.kind.fields(row)
    name, beside = marked_whole(_name(row), units), ""
    if isinstance(row, Specimen):
        fields = fields_with_years(row, units, visitor=visitor)
        name = marked_whole(row.what, units)
        years = row.made_words or "not yet dated"
        beside = format_html('<span class="num">{}</span> · {}', marked_whole(row.number, units), years)
    hits = [hit for hit in marked_reasons(fields, units, 3) if hit.field not in IN_THE_LINE]
    return ShownRow(_url(row), name, beside, hits[:2], row if isinstance(row, Specimen) else None)


def _published(row: PublishedRow, units: Sequence[Unit]) -> ShownRow:
    hits = [hit for hit in marked_reasons(row.fields(), units, 2) if hit.field not in IN_THE_LINE]
    return ShownRow(row.get_absolute_url(), marked_whole(row.title, units), PART_WORDS[row.part], hits)


def _name(row: Any) -> str:
    """A row's name, with what tells it apart from another one of that name."""
    of = getattr(row, "town", None) or getattr(row, "bottler", None)
    return f"{row}, {of}" if of and not isinstance(row, Specimen) else str(row)


def _url(row: Any) -> str:
    if isinstance(row, Person):
        return reverse("people:person", args=[row.pk])
    return str(row.get_absolute_url())


def address(text: str, *, only: str = "") -> str:
    """The page of a search."""
    asked = {"q": text, "only": only} if only else {"q": text}
    return f"{reverse('search:search')}?{urlencode(asked)}"


def others_meant(answer: Answer) -> list[OtherSearch]:
    """ "Did you mean": what else a replaced word may be; where nothing has all words, each by itself."""
    understood = answer.understood
    text = understood.typed.text
    meant = [
        OtherSearch(other, address(_with(text, each, other)))
        for each in understood.replaced
        for other in each.others
    ]
    if not answer.anything and len(understood.units) > 1:
        known = [unit.written for unit in understood.units if unit.written not in answer.nowhere]
        meant += [OtherSearch(word, address(word)) for word in dict.fromkeys(known)]
    return meant[:6]


def _with(text: str, replaced: Replaced, other: str) -> str:
    return text.replace(replaced.typed, other, 1)


def tried(answer: Answer) -> str:
    """Of an answer that holds nothing: what was looked for, in a sentence."""
    understood = answer.understood
    if not understood.typed.text:
        return ""
    if understood.typed.only_signs:
        return "There is no letter and no figure in that. Type a word, a number such as 2026.14.3, or a year."
    if len(answer.nowhere) > 1:
        return (
            f"Nothing holds any of {', '.join(f'“{word}”' for word in answer.nowhere)}, nor words like them."
        )
    if answer.nowhere:
        return f"Nothing holds “{answer.nowhere[0]}”, nor a word like it."
    if len(understood.units) > 1:
        return "Each of these words is on record, but nothing has all of them."
    return f"Nothing holds “{understood.typed.text}”."
