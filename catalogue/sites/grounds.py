"""Valid time (temporal data): which permission held on the day of a dive, and what is due before the next.

What a find may rest on is the one permission that covers the whole time in which it may have come up: today
is never asked. `outlook` is apart from that: it looks from today at coming dives. Both say what is on record,
never that something is lawful. Pure.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Final, Generic, Protocol, TypeVar

from catalogue.common.localisation import day_words
from catalogue.common.text import isolated

# "Within a month": the longest month, so that none is said too late.
MONTH: Final = timedelta(days=31)
ASK: Final = "Ask whoever owns the bed; rules differ by place and age."
THEN: Final = "Write down what was valid then, if anything was."
NO_LAST_DAY: Final = "no last day on record"


class AskedAnswer(Protocol):
    """What was asked about a place; days are included, None is an open side.

    `answered` is False as long as nobody was asked; `what` says basis, authority and reference.
    """

    @property
    def answered(self) -> bool: ...
    @property
    def first_day(self) -> date | None: ...
    @property
    def last_day(self) -> date | None: ...
    @property
    def what(self) -> str: ...


AnswerT = TypeVar("AnswerT", bound=AskedAnswer)


@dataclass(frozen=True, slots=True)
class DaySpan:
    """From the first to the last day, both included; None is a side on which no day is known."""

    first: date | None = None
    last: date | None = None

    @classmethod
    def of(cls, day: date) -> "DaySpan":
        """One day."""
        return cls(day, day)

    @property
    def is_day(self) -> bool:
        return self.first is not None and self.first == self.last

    @property
    def is_unknown(self) -> bool:
        return self.first is None and self.last is None


class GroundsState(StrEnum):
    """EXPIRING is said of coming dives alone, UNKNOWN of past ones alone."""

    VALID = "valid"
    EXPIRING = "expiring"
    LAPSED = "lapsed"
    NOT_BEGUN = "not-begun"
    NOT_ASKED = "not-asked"
    NONE = "none"
    UNKNOWN = "unknown"


CAUTIONED: Final = frozenset(GroundsState) - {GroundsState.VALID}
NOTHING_SAID: Final = {
    GroundsState.NOT_ASKED: "not asked yet",
    GroundsState.NONE: "no answer on record",
}


@dataclass(frozen=True, slots=True)
class DayGrounds(Generic[AnswerT]):
    """What is on record for the time in which something came up.

    `answer` is the one that held, else the latest that had lapsed or the first that begins later.
    """

    state: GroundsState
    span: DaySpan
    answer: AnswerT | None = None

    @property
    def cautioned(self) -> bool:
        return self.state in CAUTIONED

    @property
    def words(self) -> str:
        """As a fact beside others: "valid on that day, until 31 Dec 2024"."""
        then = "that dive" if self.span.is_day else "it came up"
        match self.state, self.answer:
            case GroundsState.VALID, answer if answer:
                held = "on that day" if self.span.is_day else "for all of that time"
                return f"valid {held}, {_until(answer.last_day)}"
            case GroundsState.LAPSED, answer if answer:
                return f"lapsed on {_day(answer.last_day)}, before {then}"
            case GroundsState.NOT_BEGUN, answer if answer:
                return f"not begun then: from {_day(answer.first_day)}"
        return NOTHING_SAID.get(self.state, "not known for that day")

    @property
    def tag(self) -> str:
        """In a row of a list; empty where nothing is to be minded."""
        return {
            **NOTHING_SAID,
            GroundsState.LAPSED: "permission lapsed by then",
            GroundsState.NOT_BEGUN: "permission not begun then",
            GroundsState.UNKNOWN: "grounds not known for that day",
        }.get(self.state, "")

    def caution(self, place: str) -> tuple[str, str]:
        """What is wrong, and what to do, in sentences; both empty where nothing is. `place` may be empty."""
        of_place, what = f" from {place}" if place else "", self.answer.what if self.answer else ""
        match self.state:
            case GroundsState.NONE | GroundsState.NOT_ASKED:
                said = NOTHING_SAID[self.state].capitalize()
                return f"{said} about taking things{of_place}.", ASK
            case GroundsState.LAPSED:
                return (
                    f"The permission had {self.words}.",
                    f"It was: {what}. {THEN}",
                )
            case GroundsState.NOT_BEGUN:
                began = _day(self.answer.first_day) if self.answer else ""
                return f"The permission had not begun then: it runs from {began}.", f"It is: {what}. {THEN}"
            case GroundsState.UNKNOWN if self.span.is_unknown:
                why = "No day is on record for it."
            case GroundsState.UNKNOWN:
                why = "No one permission covers all of the time in which it may have come up."
            case _:
                return "", ""
        return "The grounds are not known for that day.", why


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is on record for coming dives. `day` is the last day covered without a gap (None: no end), or the
    day on which it lapsed or begins."""

    state: GroundsState
    day: date | None = None

    @property
    def cautioned(self) -> bool:
        return self.state in CAUTIONED

    @property
    def words(self) -> str:
        """As a fact beside others: "valid until 31 Dec 2024", "lapsed on 31 Dec 2024"."""
        match self.state:
            case GroundsState.VALID | GroundsState.EXPIRING:
                return f"valid {_until(self.day)}" if self.day else f"valid, {NO_LAST_DAY}"
            case GroundsState.LAPSED:
                return f"lapsed on {_day(self.day)}"
            case GroundsState.NOT_BEGUN:
                return f"not begun: from {_day(self.day)}"
        return NOTHING_SAID[self.state]

    @property
    def tag(self) -> str:
        """In a row of a list; empty where nothing is to be minded."""
        return self.words if self.cautioned else ""

    def due(self, place: str) -> str:
        """What to see to before the next dive there, in a line; empty where nothing is."""
        place = isolated(place)
        match self.state:
            case GroundsState.VALID:
                return ""
            case GroundsState.EXPIRING:
                return f"Permission for {place} ends on {_day(self.day)}: ask again in time"
            case GroundsState.LAPSED:
                return f"Permission for {place} lapsed on {_day(self.day)}: ask again before the next dive"
            case GroundsState.NOT_BEGUN:
                return f"Permission for {place} begins on {_day(self.day)}: no dive before that rests on it"
        return f"{NOTHING_SAID[self.state].capitalize()} about taking things from {place}"

    def caution(self, place: str) -> tuple[str, str]:
        """What is due, and what to do, in sentences; both empty where nothing is."""
        said, _, then = self.due(place).partition(": ")
        if not said:
            return "", ""
        return f"{said}.", f"{then.capitalize()}." if then else ASK


def grounds_on(answers: Iterable[AnswerT], span: DaySpan) -> DayGrounds[AnswerT]:
    """Which state the grounds are in for something that came up in that span.

    They hold where one permission covers all of it: two that follow each other do not make one, as each has
    conditions of its own. Where several do, the one that ends last is named.
    """
    rows = list(answers)
    given = [row for row in rows if row.answered]
    covering = [row for row in given if _covers(row, span)]
    if covering:
        return DayGrounds(GroundsState.VALID, span, max(covering, key=_end))
    if not given:
        return DayGrounds(GroundsState.NOT_ASKED if rows else GroundsState.NONE, span)
    over = [row for row in given if _over(row, span)]
    later = [row for row in given if _later(row, span)]
    if len(over) + len(later) < len(given):
        return DayGrounds(GroundsState.UNKNOWN, span)
    if over:
        return DayGrounds(GroundsState.LAPSED, span, max(over, key=_end))
    return DayGrounds(GroundsState.NOT_BEGUN, span, min(later, key=_begin))


def outlook(answers: Iterable[AskedAnswer], today: date) -> Outlook:
    """What is on record for dives from today on: each rests on the permission of its own day, so that one
    which follows without a gap puts off the end."""
    rows = list(answers)
    now = grounds_on(rows, DaySpan.of(today))
    if now.state is GroundsState.VALID:
        end = _end_of_chain([row for row in rows if row.answered], today)
        soon = end is not None and end - today <= MONTH
        return Outlook(GroundsState.EXPIRING if soon else GroundsState.VALID, end)
    if now.answer is None:
        return Outlook(now.state)
    lapsed = now.state is GroundsState.LAPSED
    return Outlook(now.state, now.answer.last_day if lapsed else now.answer.first_day)


def _end_of_chain(given: Collection[AskedAnswer], day: date) -> date | None:
    """The last day, from a covered one on, of which each has an answer of its own; None for no end."""
    while True:
        ends = [row.last_day for row in given if _covers(row, DaySpan.of(day))]
        last = [end for end in ends if end is not None]
        if len(last) < len(ends):
            return None
        if not ends:
            return day - timedelta(days=1)
        if max(last) == date.max:
            return None
        day = max(last) + timedelta(days=1)


def _covers(row: AskedAnswer, span: DaySpan) -> bool:
    begins = row.first_day is None or (span.first is not None and row.first_day <= span.first)
    ends = row.last_day is None or (span.last is not None and span.last <= row.last_day)
    return begins and ends


def _over(row: AskedAnswer, span: DaySpan) -> bool:
    return row.last_day is not None and span.first is not None and row.last_day < span.first


def _later(row: AskedAnswer, span: DaySpan) -> bool:
    begins_after = row.first_day is not None and span.last is not None and row.first_day > span.last
    return begins_after and not _over(row, span)


def _begin(row: AskedAnswer) -> date:
    return row.first_day or date.min


def _end(row: AskedAnswer) -> date:
    return row.last_day or date.max


def _until(day: date | None) -> str:
    return f"until {_day(day)}" if day else NO_LAST_DAY


def _day(day: date | None) -> str:
    return day_words(day) if day else ""
