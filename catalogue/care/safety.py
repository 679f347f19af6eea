"""Cautions and reminders, each with its source; the steps of a bath with its own figures in them.

Reminders only: the label and the safety data sheet come first.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache

from .care_tables import CARE_FACTS, Why, why_of

# Cautions that stand on several pages, by key. `defer`: what the tool can't know is the product in hand and
# the law of the place.
STANDING_CAUTIONS: Mapping[str, str] = {
    cells.text("key", needed=True): cells.text("words", needed=True)
    for cells in CARE_FACTS.rows("standing_cautions", ("key", "words"))
}
DEFER, NOT_FOR_DRINKING = STANDING_CAUTIONS["defer"], STANDING_CAUTIONS["drink"]


@dataclass(frozen=True, slots=True)
class BathStep:
    """One step, and what to mind while the hand is at it."""

    key: str
    part: str
    words: str
    mind: Why


@lru_cache(maxsize=1)
def reminders() -> dict[str, list[Why]]:
    """First aid, what to leave alone, limits and what never to do, in the order of the table."""
    grouped: dict[str, list[Why]] = {}
    for cells in CARE_FACTS.rows("safety", ("key", "part", "words")):
        why = why_of(cells, cells.text("words", needed=True))
        grouped.setdefault(cells.text("part", needed=True), []).append(why)
    return grouped


@lru_cache(maxsize=1)
def _visitor_hazards() -> Mapping[str, str]:
    rows = CARE_FACTS.rows("visitor_hazards", ("key", "words"))
    return {cells.text("key", needed=True): cells.text("words", needed=True) for cells in rows}


def visitor_words(flags: Collection[str]) -> list[str]:
    """What protects a visitor from a piece with these gates; what is the owner's alone is in no row."""
    return [words for key, words in _visitor_hazards().items() if key in flags]


def reminder_sources() -> list[str]:
    """What the reminders rest on, in full, each once."""
    named = {source for lines in reminders().values() for why in lines for source in why.sources}
    return sorted(", ".join(part for part in (source.short, source.title) if part) for source in named)


def bath_steps(**figures: str) -> list[BathStep]:
    """The steps in their safe order: cold water first, acid into it. Raises KeyError for a missing figure."""
    return [
        BathStep(
            cells.text("key", needed=True),
            cells.text("part", needed=True),
            cells.text("words", needed=True).format(**figures),
            why_of(cells, cells.text("mind").format(**figures)),
        )
        for cells in CARE_FACTS.rows("bath_steps", ("key", "part", "words", "mind"))
    ]
