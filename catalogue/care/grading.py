"""Condition grading: the grade by a stated rule, what damage means for storage, and two reports compared."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from catalogue.care.care_tables import CARE_FACTS, Why, why_of
from catalogue.care.models import ConditionReport, Damage

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
def grade_rules() -> tuple[GradeRule, ...]:
    """The rule, worst grade first."""
    return tuple(
        GradeRule(
            cells.text("grade", needed=True),
            frozenset(cells.text("kinds", needed=True).split()),
            cells.one_of("extent_from", EXTENTS),
            why_of(cells, cells.text("words", needed=True)),
        )
        for cells in CARE_FACTS.rows("grading", ("grade", "kinds", "extent_from", "words"))
    )


def grade_of(damages: Iterable[tuple[str, str]]) -> tuple[str, Why | None]:
    """Grade and the line of the rule that gave it, from pairs of kind and extent. Sound has no line."""
    seen = list(damages)
    for step in grade_rules():
        least = EXTENTS.index(step.extent_from)
        if any(kind in step.kinds and EXTENTS.index(extent) >= least for kind, extent in seen):
            return step.grade, step.why
    return BEST, None


@lru_cache(maxsize=1)
def _storage() -> dict[str, Why]:
    return {
        cells.text("kind", needed=True): why_of(cells, cells.text("advice", needed=True))
        for cells in CARE_FACTS.rows("storage", ("kind", "advice"))
    }


def storage_advice(kinds: Iterable[str]) -> list[Why]:
    """What damage of these kinds asks of the shelf, each advice once."""
    return list(dict.fromkeys(_storage()[kind] for kind in kinds if kind in _storage()))


@dataclass(frozen=True, slots=True)
class DamageChange:
    """One kind of damage on one part, before and after, and what that means."""

    part: str
    kind: str
    before: str
    after: str
    words: str

    @property
    def tone(self) -> str:
        """A class of the word: what got worse stands out beside saying so."""
        return "worse" if self.words in ("new", "more") and self.kind != Damage.Kind.GROWTH.label else ""


def compare(older: ConditionReport, newer: ConditionReport) -> list[DamageChange]:
    """Everything that either says, in the order of the vessel's parts."""
    then = {(damage.part, damage.kind): damage.extent for damage in older.damages.all()}
    now = {(damage.part, damage.kind): damage.extent for damage in newer.damages.all()}
    order = list(Damage.Part.values)
    keys = sorted({*then, *now}, key=lambda key: (order.index(key[0]), key[1]))
    return [_difference(part, kind, then.get((part, kind)), now.get((part, kind))) for part, kind in keys]


def _difference(part: str, kind: str, before: str | None, after: str | None) -> DamageChange:
    if before is None:
        words = "new"
    elif after is None:
        words = "gone"
    else:
        moved = EXTENTS.index(after) - EXTENTS.index(before)
        words = "more" if moved > 0 else "less" if moved < 0 else "as before"
    return DamageChange(
        Damage.Part(part).label,
        Damage.Kind(kind).label,
        Damage.Extent(before).label if before else "",
        Damage.Extent(after).label if after else "",
        words,
    )
