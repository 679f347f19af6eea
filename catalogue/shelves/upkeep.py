"""Dusting and looks at the light: when each place is due, by its own interval or that of what it is in."""

import calendar
from collections.abc import Container, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max
from django.utils import timezone

from .models import Place, Upkeep
from .tree import PlaceTree

LastDone = dict[tuple[int, str], datetime]
INTERVALS = {Upkeep.What.DUSTED: "dust_months", Upkeep.What.LIGHT: "light_months"}


@dataclass(frozen=True, slots=True)
class UpkeepState:
    """How a place stands with one of the two: `months` and the place that says so, when it was `last` done.

    `due`: the day, where it was ever done; without an interval nothing is due.
    """

    place: Place
    what: Upkeep.What
    months: int | None
    said_by: Place | None
    last: datetime | None
    due: date | None

    def is_due(self, today: date) -> bool:
        """Whether it is to be done now; where none is on record, it is."""
        return self.months is not None and (self.due is None or self.due <= today)


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or that month's last."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def last_done() -> LastDone:
    """When each place itself was last dusted and looked at, by its key and what was done. One query."""
    rows = Upkeep.objects.order_by().values_list("place", "what").annotate(last=Max("at"))
    return {(key, what): last for key, what, last in rows}


def upkeep_state(tree: PlaceTree, place: Place, what: Upkeep.What, done: LastDone) -> UpkeepState:
    """As the nearest place that says an interval has it; what was done with a place was done inside it."""
    above = list(tree.above(place.pk))
    says = next((each for each in above if getattr(each, INTERVALS[what])), None)
    months: int | None = getattr(says, INTERVALS[what]) if says else None
    last = max((done[each.pk, what] for each in above if (each.pk, what) in done), default=None)
    due = months_later(timezone.localdate(last), months) if last and months else None
    return UpkeepState(place, what, months, says, last, due)


def due_now(
    tree: PlaceTree, what: Upkeep.What, done: LastDone, today: date, holding: Container[int]
) -> list[UpkeepState]:
    """Where it is to be done, in the order of the tree; a place stands for all inside where all of it is due.

    `holding`: keys of places in which pieces stand; of empty ones nothing is due.
    """
    found: list[UpkeepState] = []
    for place in tree.parts.get(None, ()):
        found += _due_within(tree, place, what, done, today, holding)
    return found


def _due_within(
    tree: PlaceTree,
    place: Place,
    what: Upkeep.What,
    done: LastDone,
    today: date,
    holding: Container[int],
) -> Iterator[UpkeepState]:
    inside = [
        upkeep_state(tree, tree.place[key], what, done) for key in tree.inside(place.pk) if key in holding
    ]
    counted = [state for state in inside if state.months]
    due = [state for state in counted if state.is_due(today)]
    if not due:
        return
    whole = upkeep_state(tree, place, what, done)
    if len(due) == len(inside) and whole.is_due(today):
        yield whole
        return
    yield from (state for state in due if state.place == place)
    for part in tree.parts.get(place.pk, ()):
        yield from _due_within(tree, part, what, done, today, holding)
