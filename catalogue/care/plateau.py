"""Plateau detection (steady state): readings of the salt that have levelled off near the tap's own. Pure.

The usual rule is ours: the last three readings within 5 % of each other and within 10 % of the tap water.
"""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlateauRule:
    """How many last readings count, how far they may lie apart, how far from the tap; shares of one."""

    last: int = 3
    within: float = 0.05
    near_tap: float = 0.10

    @property
    def words(self) -> str:
        return (
            f"the last {self.last} readings within {self.within:.0%} of each other "
            f"and at most {self.near_tap:.0%} above the tap water"
        )


@dataclass(frozen=True, slots=True)
class Plateau:
    """Whether it is ready, and the sentence that says why or why not."""

    ready: bool
    words: str


def judge_plateau(values: Sequence[float], tap: float | None, rule: PlateauRule | None = None) -> Plateau:
    """Judge readings in the order they were taken, all in the tap's own unit."""
    rule = rule or PlateauRule()
    if len(values) < rule.last:
        more = rule.last - len(values)
        return Plateau(False, f"{more} more reading{'s' if more > 1 else ''} before anything can be said.")
    last = values[-rule.last :]
    middle = sum(last) / len(last)
    if middle > 0 and max(last) - min(last) > rule.within * middle:
        return Plateau(False, "Still moving: keep changing the water.")
    if tap is None:
        return Plateau(False, "Level, but the tap water has not been measured: measure it for comparison.")
    if middle > tap * (1 + rule.near_tap):
        return Plateau(False, "Level, but above the tap water: change the water once more.")
    return Plateau(True, "Levelled off: ready.")
