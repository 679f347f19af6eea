"""Reminders for the bench, each with its source; the steps of a bath with its own figures in them."""

from dataclasses import dataclass
from functools import lru_cache

from .care_tables import BASIS_WORDS, Why, read_rows, sources, why_of

NIOSH_CEILING_PPM = 5


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
    for place, row in enumerate(read_rows("safety.csv"), 2):
        grouped.setdefault(row["part"], []).append(why_of("safety.csv", place, row, row["words"]))
    return grouped


def reminder_sources() -> list[str]:
    """What the reminders rest on, in full, each once."""
    named = {source for lines in reminders().values() for why in lines for source in why.sources}
    return sorted(named - {BASIS_WORDS["ours"], sources()["common"]})


def bath_steps(**figures: str) -> list[BathStep]:
    """The steps in their safe order: cold water first, acid into it. Raises KeyError for a missing figure."""
    steps = []
    for place, row in enumerate(read_rows("bath_steps.csv"), 2):
        mind = why_of("bath_steps.csv", place, row, row["mind"].format(**figures))
        steps.append(BathStep(row["key"], row["part"], row["words"].format(**figures), mind))
    return steps
