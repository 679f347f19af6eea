"""The grade of a piece by a stated rule, and what its damage means for keeping it. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from .care_tables import Why, read_rows, why_of

EXTENTS = ("trace", "little", "some", "much", "all")
BEST = "sound"


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the rule: kinds of damage, from what extent on, give a grade."""

    grade: str
    kinds: frozenset[str]
    extent_from: str
    why: Why


@lru_cache(maxsize=1)
def steps() -> tuple[Step, ...]:
    """The rule, worst grade first."""
    return tuple(
        Step(
            row["grade"],
            frozenset(row["kinds"].split()),
            row["extent_from"],
            why_of("grading.csv", place, row, row["words"]),
        )
        for place, row in enumerate(read_rows("grading.csv"), 2)
    )


def grade_of(damages: Iterable[tuple[str, str]]) -> tuple[str, Why | None]:
    """Grade and the line of the rule that gave it, from pairs of kind and extent. Sound has no line."""
    seen = list(damages)
    for step in steps():
        least = EXTENTS.index(step.extent_from)
        if any(kind in step.kinds and EXTENTS.index(extent) >= least for kind, extent in seen):
            return step.grade, step.why
    return BEST, None


@lru_cache(maxsize=1)
def _storage() -> dict[str, Why]:
    return {
        row["kind"]: why_of("storage.csv", place, row, row["advice"])
        for place, row in enumerate(read_rows("storage.csv"), 2)
    }


def storage_advice(kinds: Iterable[str]) -> list[Why]:
    """What damage of these kinds asks of the shelf, each advice once."""
    return list(dict.fromkeys(_storage()[kind] for kind in kinds if kind in _storage()))
