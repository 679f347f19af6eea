"""The grade of a piece by a stated rule, and what its damage means for keeping it. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from .care_tables import FACTS, Why, why_of

EXTENTS = ("trace", "little", "some", "much", "all")
BEST = "sound"


@dataclass(frozen=True, slots=True)
class GradeRule:
    """One line of the rule: kinds of damage, from what extent on, give a grade."""

    grade: str
    kinds: frozenset[str]
    extent_from: str
    why: Why


@lru_cache(maxsize=1)
def steps() -> tuple[GradeRule, ...]:
    """The rule, worst grade first."""
    return tuple(
        GradeRule(
            cells.text("grade", needed=True),
            frozenset(cells.text("kinds", needed=True).split()),
            cells.one_of("extent_from", EXTENTS),
            why_of(cells, cells.text("words", needed=True)),
        )
        for cells in FACTS.rows("grading", ("grade", "kinds", "extent_from", "words"))
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
        cells.text("kind", needed=True): why_of(cells, cells.text("advice", needed=True))
        for cells in FACTS.rows("storage", ("kind", "advice"))
    }


def storage_advice(kinds: Iterable[str]) -> list[Why]:
    """What damage of these kinds asks of the shelf, each advice once."""
    return list(dict.fromkeys(_storage()[kind] for kind in kinds if kind in _storage()))
