"""What two condition reports say of the same piece, part by part."""

from dataclasses import dataclass

from .grading import EXTENTS
from .models import ConditionReport, Damage


@dataclass(frozen=True, slots=True)
class Difference:
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


def compare(older: ConditionReport, newer: ConditionReport) -> list[Difference]:
    """Everything that either says, in the order of the vessel's parts."""
    then = {(damage.part, damage.kind): damage.extent for damage in older.damages.all()}
    now = {(damage.part, damage.kind): damage.extent for damage in newer.damages.all()}
    order = list(Damage.Part.values)
    keys = sorted({*then, *now}, key=lambda key: (order.index(key[0]), key[1]))
    return [_difference(part, kind, then.get((part, kind)), now.get((part, kind))) for part, kind in keys]


def _difference(part: str, kind: str, before: str | None, after: str | None) -> Difference:
    if before is None:
        words = "new"
    elif after is None:
        words = "gone"
    else:
        moved = EXTENTS.index(after) - EXTENTS.index(before)
        words = "more" if moved > 0 else "less" if moved < 0 else "as before"
    return Difference(
        Damage.Part(part).label,
        Damage.Kind(kind).label,
        Damage.Extent(before).label if before else "",
        Damage.Extent(after).label if after else "",
        words,
    )
