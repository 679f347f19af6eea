"""Derived column: the gates that hold of a find, stored with it, so that every list says its hazards.

A list of finds then needs no query for them, can be narrowed by them and counts them from an index; a
prefetch would have to be asked for by each of thirty pages and can do neither. `specimens.derived` follows
the writes and writes the column, care says what is in it. Acts never rest on it: `permits` looks afresh.
Every row that names a find has `{% hazard_line find %}`: what speaks against acts with it, on one line.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.care.acts import hazards_of
from catalogue.care.care_tables import care_tables
from catalogue.care.piece_facts import know, with_facts
from catalogue.care.safety import visitor_words
from catalogue.specimens.derived.above import WorkedOut, follow_with, refresh_above
from catalogue.specimens.derived.rules import ITSELF, Dependency, Feeds
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.held_back import UNKNOWN

register = template.Library()
COLUMN = "care_flags"
# They follow from a column of the find itself, which every list has: its years, its standing.
NOT_STORED = frozenset({"early", "returned"})
KEY_LENGTH = 60
FLAG_SOURCES = (
    Dependency("specimens.Specimen", "dive site", ITSELF, Feeds.ABOVE),
    Dependency("specimens.Inscription", "find how binned_at", ("inscriptions",), Feeds.ABOVE),
    Dependency("care.Check", "find at found in_passing binned_at", ("checks",), Feeds.ABOVE, part=True),
    Dependency("care.ConditionReport", "find on binned_at", ("condition_reports",), Feeds.ABOVE, part=True),
    Dependency("care.Damage", "", ("condition_reports__damages",), Feeds.ABOVE, part=True),
    Dependency("sites.Dive", "site", ("dive",), Feeds.ABOVE),
    Dependency("sites.Site", "wreck military hold_cleared_reason", ("site", "dive__site"), Feeds.ABOVE),
)


def written(flags: Iterable[str]) -> str:
    """ "|crack|sealed|": one key can be asked for by what stands round it; an unknown one is "?glows"."""
    plain = {str(flag).replace("|", "/")[:KEY_LENGTH] for flag in flags} - NOT_STORED
    keys = sorted(key if key in care_tables().gates else f"{UNKNOWN}{key}" for key in plain)
    return f"|{'|'.join(keys)}|" if keys else ""


def read(stored: str | None) -> frozenset[str]:
    """The keys again; none where nothing was worked out yet."""
    return frozenset(key.removeprefix(UNKNOWN) for key in (stored or "").split("|") if key)


def flags_of(find: Specimen) -> str:
    """What the column should hold, of a find with its facts. No query."""
    return written(know(find).facts.flags)


def work_out_missing() -> list[str]:
    """At start, after an update: finds of which nothing was worked out yet. One query where all are."""
    missing = list(Specimen.everything.filter(care_flags=None).values_list("pk", flat=True))
    refresh_above(missing)
    return []


def follow() -> None:
    """Once, while the applications get ready."""
    follow_with(COLUMN, WorkedOut(with_facts, flags_of), FLAG_SOURCES)


WHOLE_LINE = '<span class="hazard-line"><b>Careful:</b> {}</span>'
ONE_WORD = '<span class="hazard-line"><b>Careful</b><span class="unseen">: {}</span></span>'


@register.simple_tag(takes_context=True)
def hazard_line(context: Mapping[str, Any], find: Specimen, *, short: bool = False) -> SafeString:
    """ "Careful: sealed, munition or part of one". To a visitor only what protects a visitor. No query.

    `short`: one word is seen, where there is no room for more; all is read out.
    """
    if not find.care_flags:
        return SafeString("")
    flags = read(find.care_flags)
    words = [gate.name for gate in hazards_of(flags)] if context.get("is_owner") else visitor_words(flags)
    if not words:
        return SafeString("")
    line = ONE_WORD if short else WHOLE_LINE
    return format_html(line, ", ".join(words))
