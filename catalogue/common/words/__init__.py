"""The words of the screen in one table, `words.csv`: acts, answers, stages, standings, what is said of gaps.

One word for one thing and one verb for one act; `tests/house/test_words.py` holds templates to it. In
templates `{% load house_words %}`: a chance, and what stands where nothing is recorded.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django import template

register = template.Library()
TABLE = Path(__file__).with_name("words.csv")


@dataclass(frozen=True, slots=True)
class HouseWord:
    """One row: of which kind, its key, the words as they stand on the screen, and what they are for."""

    kind: str
    key: str
    words: str
    what_for: str


@cache
def house_words() -> tuple[HouseWord, ...]:
    """Every row of the table, in its order."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(HouseWord(**row) for row in csv.DictReader(file))


def words_of(kind: str) -> dict[str, str]:
    """The words of one kind by their keys: `act`, `answer`, `stage`, `standing` or `said`."""
    return {word.key: word.words for word in house_words() if word.kind == kind}


GAP_WORDS = words_of("said")["missing"]


@register.filter
def sure(chance: float) -> str:
    """A chance from 0 to 1 as the house says it: "90 % sure"."""
    said = words_of("said")
    chance = round(chance, 4)  # as it is stored: one figure wherever it stands
    if chance >= 0.995:
        return said["sure-over"]
    return said["sure-under"] if chance < 0.005 else said["sure"].format(max(1, round(chance * 100)))


@register.filter
def or_not_recorded(value: object) -> object:
    """The value, or the house's words for a gap. Nought is a value."""
    return GAP_WORDS if value is None or value == "" else value
