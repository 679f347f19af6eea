"""Plateau detection (steady state): readings of the salt that have levelled off near the tap's own. Pure.

The usual rule is ours: the last three readings within 5 % of each other and within 10 % of the tap water.
A reading counts only where the water had stood: salt comes out of glass and growth over hours (diffusion), so
fresh water reads like the tap whatever is still in the piece.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

# Of the time between two changes of water; ours: a daily change is not made at the same minute each day.
STANDING_SHARE = 0.75


@dataclass(frozen=True, slots=True)
class PlateauRule:
    """How many last readings count, how far they may lie apart, how far from the tap (shares of one), and
    how long the water must have stood before each."""

    last: int = 3
    within: float = 0.05
    near_tap: float = 0.10
    stands: timedelta = timedelta(hours=18)

    @property
    def words(self) -> str:
        return (
            f"the last {self.last} readings within {self.within:.0%} of each other "
            f"and at most {self.near_tap:.0%} above the tap water, "
            f"each after {in_words(self.stands)} or more in the same water"
        )


@dataclass(frozen=True, slots=True)
class WaterReading:
    """One measurement: how long the water had stood, with all the pieces in it that are in it now."""

    value: float
    stood: timedelta
    before_newest: bool = False

    def why_not(self, rule: PlateauRule) -> str:
        """Why it doesn't count; empty where it does."""
        if self.before_newest:
            return "before the newest piece came in"
        if self.stood < rule.stands:
            return f"{in_words(self.stood)} after fresh water; counts from {in_words(rule.stands)} on"
        return ""


@dataclass(frozen=True, slots=True)
class Plateau:
    """Whether it is ready, and the sentence that says why or why not."""

    ready: bool
    words: str


def readings_of(
    rows: Iterable[tuple[datetime, float | None, bool]], began: datetime, came: Iterable[datetime] = ()
) -> list[WaterReading]:
    """The measurements among rows of (when, value, water changed after it) in the order of time.

    `came`: when each piece came that is still in the water; a piece that comes in begins the standing anew.
    """
    arrivals = sorted(came)
    newest = arrivals[-1] if arrivals else began
    fresh, found = began, []
    for at, value, changed in rows:
        if value is not None:
            since = max([fresh, *(each for each in arrivals if each <= at)])
            found.append(WaterReading(value, max(timedelta(0), at - since), at < newest))
        if changed:
            fresh = max(fresh, at)
    return found


def judge_plateau(
    readings: Sequence[WaterReading], tap: float | None, rule: PlateauRule | None = None
) -> Plateau:
    """Judge readings in the order they were taken, all in the tap's own unit; those that don't count are
    left out, and where the latest one is such it is said."""
    rule = rule or PlateauRule()
    values = [reading.value for reading in readings if not reading.why_not(rule)]
    left_out = readings[-1].why_not(rule) if readings else ""
    aside = f" The last reading doesn't count: {left_out}." if left_out else ""
    if len(values) < rule.last:
        more = rule.last - len(values)
        words = f"{more} more reading{'s' if more > 1 else ''} before anything can be said."
        return Plateau(False, words + aside)
    last = values[-rule.last :]
    middle = sum(last) / len(last)
    if middle > 0 and max(last) - min(last) > rule.within * middle:
        return Plateau(False, "Still moving: keep changing the water." + aside)
    if tap is None:
        words = "Level, but the tap water has not been measured: measure it for comparison."
        return Plateau(False, words + aside)
    if middle > tap * (1 + rule.near_tap):
        return Plateau(False, "Level, but above the tap water: change the water once more." + aside)
    return Plateau(True, "Levelled off: ready." + aside)


def in_words(span: timedelta) -> str:
    """A length of time as one says it: "4 minutes", "18 hours", "3 days"."""
    minutes = round(span.total_seconds() / 60)
    if minutes < 60:
        number, unit = minutes, "minute"
    elif minutes < 48 * 60:
        number, unit = round(minutes / 60), "hour"
    else:
        number, unit = round(minutes / (24 * 60)), "day"
    return f"{number} {unit}{'' if number == 1 else 's'}"
