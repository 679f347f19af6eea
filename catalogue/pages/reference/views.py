"""The published tables, each row with its source; and the numbers that are the catalogue's own choice."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

import dating
from catalogue.common.words.trade_terms import trade_terms
from catalogue.pages.makers.queries import makers_of_pieces
from catalogue.pages.parts.look_up import LookUp
from catalogue.pages.parts.paging import page_of
from catalogue.pages.parts.reference_rows import (
    ReferenceRow,
    assumption_row,
    code_row,
    copy_row,
    exclusion_row,
    feature_row,
    mark_row,
    phrase_row,
    source_row,
    term_row,
)
from catalogue.specimens.tables import current_reference, reference_key
from dating.constants import ASSUMPTIONS
from dating.copies import COPIES
from dating.inscription import known_phrases

REFERENCE_ROWS_PER_PAGE = 50


@dataclass(frozen=True, slots=True)
class ReferencePart:
    """One table: its name, what it says of itself, and its rows."""

    key: str
    name: str
    about: str
    rows: Callable[[dating.Reference], list[ReferenceRow]]
    # The keys of the rows that are the owner's: added, or of a maker there are pieces of. One query.
    mine: Callable[[dating.Reference], set[str]] | None = None


def my_marks(ref: dating.Reference) -> set[str]:
    """Marks one added, and those of published makers that one has pieces of."""
    theirs = makers_of_pieces()
    return {
        mark.id
        for mark in ref.marks.values()
        if mark.source == "own" or reference_key(mark.maker, mark.place) in theirs
    }


def my_codes(ref: dating.Reference) -> set[str]:
    """Codes one added, and those that stand beside such marks."""
    marks = my_marks(ref)
    return {code.id for code in ref.date_codes.values() if code.source == "own" or marks & set(code.mark_ids)}


REFERENCE_PARTS = (
    ReferencePart(
        "marks",
        "Marks",
        "Makers' marks and the years they were used. Where only the firm's years are published, both ends "
        "count as soft. A mark that few bottles bear counts less than others that read alike, one that many "
        "bear more.",
        lambda ref: [mark_row(mark, ref) for mark in ref.marks.values()],
        my_marks,
    ),
    ReferencePart(
        "features",
        "Features",
        "How bottles were made, how to see it, and when it was done. A blank end is open.",
        lambda ref: [
            feature_row(feature, ref) for feature in ref.features.values() if feature.group != COPIES
        ],
    ),
    ReferencePart(
        "copies",
        "Later copies",
        "What was made again in old forms, when, and what gives it away. These years count only where "
        "somebody saw such a sign.",
        lambda ref: [copy_row(copy, ref) for copy in ref.copies.values()],
    ),
    ReferencePart(
        "codes",
        "Date codes",
        "What the characters beside a mark say. They count only between their years.",
        lambda ref: [code_row(code, ref) for code in ref.date_codes.values()],
        my_codes,
    ),
    ReferencePart(
        "exclusions",
        "What rules out what",
        "Two features that can't be on one bottle as made: a strong doubt and a message, never a veto.",
        lambda ref: [exclusion_row(pair, ref) for pair in ref.exclusions.values()],
    ),
    ReferencePart(
        "phrases",
        "Phrases",
        "Words on the glass that tell more than a name. They date nothing by themselves.",
        lambda ref: [phrase_row(phrase, ref) for phrase in known_phrases()],
    ),
    ReferencePart(
        "words",
        "Words of the trade",
        "What the words mean that collectors, divers and glassmakers use here.",
        lambda ref: [term_row(term) for term in trade_terms().in_order],
    ),
    ReferencePart(
        "sources",
        "Sources",
        "Where the figures were read. They are retold in our own words; go to the source for the whole.",
        lambda ref: [source_row(source) for source in ref.sources.values()],
    ),
    ReferencePart(
        "assumptions",
        "Assumptions",
        "Numbers that no source gives: our own choice, each with its reason.",
        lambda ref: [assumption_row(each) for each in ASSUMPTIONS],
    ),
)
_BY_KEY = {part.key: part for part in REFERENCE_PARTS}


@require_safe
def reference(request: HttpRequest) -> HttpResponse:
    """One table at a time, searched and paged; `row` opens a row on whichever page it stands."""
    asked = request.GET.get("part", "")
    if asked and asked not in _BY_KEY:
        messages.warning(request, "There is no such table; these are the marks.")
    part = _BY_KEY.get(asked, REFERENCE_PARTS[0])
    ref = current_reference()
    words = request.GET.get("q", "").strip()[:200]
    rows = matching(part.rows(ref), words)
    opened = request.GET.get("row", "")
    mine = part.mine(ref) if part.mine else set()
    # a row that is asked for, and what is looked up, may be any
    narrow = bool(mine) and not words and request.GET.get("all") != "1" and opened in mine | {""}
    every = len(rows)
    rows = sorted((row for row in rows if row.id in mine or not narrow), key=lambda row: row.id not in mine)
    place = next((n for n, row in enumerate(rows) if row.id == opened), None)
    if opened and place is None:
        messages.warning(request, "There is no such row in this table.")
    wanted = request.GET.get("page", "") if place is None else str(place // REFERENCE_ROWS_PER_PAGE + 1)
    page, complaint = page_of(Paginator(rows, REFERENCE_ROWS_PER_PAGE), wanted)
    if complaint:
        messages.warning(request, complaint)
    context = {
        "parts": REFERENCE_PARTS,
        "part": part,
        "page": page,
        "opened": opened,
        "q": words,
        "narrow": narrow,
        "mine": mine,
        "every": every,
        "both": len({row.id in mine for row in rows}) == 2,
        "version": ref.version,
    }
    return render(request, "pages/reference/reference.html", context)


def matching(rows: list[ReferenceRow], words: str) -> list[ReferenceRow]:
    """Rows that hold the words, however they are written."""
    wanted = LookUp(words)
    return [row for row in rows if wanted.fits(row.fields)] if wanted else rows
