"""Derived column: the gates that hold of a find, stored with it, so that every list says its hazards.

A list of finds then needs no query for them, can be narrowed by them and counts them from an index; a
prefetch would have to be asked for by each of thirty pages and can do neither. `specimens.derived` follows
the writes and writes the column, care says what is in it. Acts never rest on it: `permits` looks afresh.
"""

from collections.abc import Iterable

from catalogue.care.care_tables import care_tables
from catalogue.care.piece_facts import know, with_facts
from catalogue.specimens.derived.above import WorkedOut, follow_with, refresh_above
from catalogue.specimens.derived.rules import ITSELF, Dependency, Feeds
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.held_back import UNKNOWN

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
