"""Grounds of a day: the permission that held when a piece came up, and what is due before the next dive."""

from dataclasses import dataclass
from datetime import date, timedelta

import pytest

from catalogue.sites.grounds import CAUTIONED, DaySpan, GroundsState, grounds_on, outlook

VALID, EXPIRING, LAPSED = GroundsState.VALID, GroundsState.EXPIRING, GroundsState.LAPSED
NOT_BEGUN, NOT_ASKED = GroundsState.NOT_BEGUN, GroundsState.NOT_ASKED
NONE, UNKNOWN = GroundsState.NONE, GroundsState.UNKNOWN


@dataclass(frozen=True)
class Paper:
    """An answer as the module asks for it."""

    first_day: date | None = None
    last_day: date | None = None
    answered: bool = True
    what: str = "permit or licence, harbour office"


def day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def paper(text: str) -> Paper:
    """ "2024-01-01/2024-12-31", an open side left blank; "?" for one that was never answered."""
    if text == "?":
        return Paper(answered=False)
    first, last = text.split("/")
    return Paper(day(first), day(last))


def papers(text: str) -> list[Paper]:
    return [paper(each) for each in text.split()]


def span(text: str) -> DaySpan:
    first, _, last = text.partition("/") if "/" in text else (text, "", text)
    return DaySpan(day(first), day(last))


YEAR = "2024-01-01/2024-12-31"
BOTH = "2023-01-01/2023-12-31 2024-01-01/2024-12-31"
OF_A_DAY = [
    # one day: the first and the last day included
    (YEAR, "2024-06-01", VALID),
    (YEAR, "2024-01-01", VALID),
    (YEAR, "2024-12-31", VALID),
    (YEAR, "2023-12-31", NOT_BEGUN),
    (YEAR, "2025-01-01", LAPSED),
    ("2024-06-01/2024-06-01", "2024-06-01", VALID),
    # open on a side, on both
    ("2024-01-01/", "2031-05-05", VALID),
    ("2024-01-01/", "2023-12-31", NOT_BEGUN),
    ("/2024-12-31", "1990-05-05", VALID),
    ("/2024-12-31", "2025-01-01", LAPSED),
    ("/", "1990-05-05", VALID),
    # nothing that was answered
    ("", "2024-06-01", NONE),
    ("?", "2024-06-01", NOT_ASKED),
    ("? ?", "2024-06-01", NOT_ASKED),
    # not asked beside something better or older
    (f"? {YEAR}", "2024-06-01", VALID),
    (f"? {YEAR}", "2025-06-01", LAPSED),
    (f"? {YEAR}", "2023-06-01", NOT_BEGUN),
    # one day between two, and on the seam of two
    ("2022-01-01/2022-12-31 2024-01-01/2024-12-31", "2023-06-01", LAPSED),
    (BOTH, "2023-12-31", VALID),
    (BOTH, "2024-01-01", VALID),
]
OF_A_SPAN = [
    (YEAR, "2024-01-01/2024-12-31", VALID),
    (YEAR, "2024-03-01/2024-04-30", VALID),
    (YEAR, "2023-12-31/2024-12-31", UNKNOWN),
    (YEAR, "2024-01-01/2025-01-01", UNKNOWN),
    (YEAR, "2020-01-01/2029-12-31", UNKNOWN),
    (YEAR, "2025-01-01/2025-12-31", LAPSED),
    (YEAR, "2022-01-01/2023-12-31", NOT_BEGUN),
    # two back to back do not make one, nor do two that overlap
    (BOTH, "2023-06-01/2024-06-01", UNKNOWN),
    ("2023-01-01/2024-03-31 2024-01-01/2024-12-31", "2023-06-01/2024-06-01", UNKNOWN),
    (f"{BOTH} 2022-01-01/2025-12-31", "2023-06-01/2024-06-01", VALID),
    # in a gap that neither touches
    ("2021-01-01/2021-12-31 2025-01-01/2025-12-31", "2022-01-01/2023-12-31", LAPSED),
    # open
    ("2021-04-01/", "2022-01-01/2022-12-31", VALID),
    ("2021-04-01/", "2021-01-01/2021-12-31", UNKNOWN),
    ("/", "1990-01-01/1999-12-31", VALID),
    # a span open itself
    ("2021-04-01/", "2021-04-01/", VALID),
    (YEAR, "2024-01-01/", UNKNOWN),
    ("/2024-12-31", "/2024-12-31", VALID),
    (YEAR, "/2024-06-01", UNKNOWN),
    (YEAR, "/2023-12-31", NOT_BEGUN),
    (YEAR, "2025-01-01/", LAPSED),
    # no day at all
    ("/", "/", VALID),
    (YEAR, "/", UNKNOWN),
    ("2021-04-01/", "/", UNKNOWN),
    ("/2024-12-31", "/", UNKNOWN),
    ("?", "/", NOT_ASKED),
    (f"? {YEAR}", "/", UNKNOWN),
    ("", "/", NONE),
]


@pytest.mark.parametrize(("given", "when", "state"), OF_A_DAY + OF_A_SPAN)
@pytest.mark.parametrize("turned", [False, True])
def test_the_state_on_a_day_and_over_a_span(given: str, when: str, state: GroundsState, turned: bool) -> None:
    """The order of the answers decides nothing."""
    rows = papers(given)
    found = grounds_on(rows[::-1] if turned else rows, span(when))
    assert found.state == state
    assert (found.answer is None) == (state in (NONE, NOT_ASKED, UNKNOWN))
    assert found.cautioned == (state != VALID)


def test_where_several_hold_the_one_that_ends_last_is_named() -> None:
    rows = papers("2024-01-01/2024-06-30 2024-01-01/2024-12-31 2023-01-01/2024-03-31")
    assert grounds_on(rows, span("2024-02-02")).answer == rows[1]
    rows.append(paper("2024-02-01/"))
    assert grounds_on(rows, span("2024-02-02")).answer == rows[3]


@pytest.mark.parametrize(
    ("given", "when", "words", "tag"),
    [
        (YEAR, "2024-06-01", "valid on that day, until 31 Dec 2024", ""),
        ("2024-01-01/", "2024-06-01", "valid on that day, no last day on record", ""),
        (YEAR, "2024-02-01/2024-03-31", "valid for all of that time, until 31 Dec 2024", ""),
        ("/", "/", "valid for all of that time, no last day on record", ""),
        (YEAR, "2025-06-01", "lapsed on 31 Dec 2024, before that dive", "permission lapsed by then"),
        (
            YEAR,
            "2025-01-01/2025-12-31",
            "lapsed on 31 Dec 2024, before it came up",
            "permission lapsed by then",
        ),
        (YEAR, "2023-06-01", "not begun then: from 1 Jan 2024", "permission not begun then"),
        ("?", "2023-06-01", "not asked yet", "not asked yet"),
        ("", "2023-06-01", "no answer on record", "no answer on record"),
        (YEAR, "/", "not known for that day", "grounds not known for that day"),
        (BOTH, "2023-06-01/2024-06-01", "not known for that day", "grounds not known for that day"),
    ],
)
def test_its_words(given: str, when: str, words: str, tag: str) -> None:
    found = grounds_on(papers(given), span(when))
    assert (found.words, found.tag) == (words, tag)


@pytest.mark.parametrize(
    ("given", "when", "says"),
    [
        ("", "2024-06-01", ("No answer on record about taking things from Heron Ledge.", "Ask whoever owns")),
        ("?", "2024-06-01", ("Not asked yet about taking things from Heron Ledge.", "Ask whoever owns")),
        (
            YEAR,
            "2025-06-01",
            ("had lapsed on 31 Dec 2024", "before that dive", "permit or licence, harbour office"),
        ),
        (YEAR, "2023-06-01", ("not begun", "1 Jan 2024")),
        (YEAR, "/", ("not known for that day", "no day")),
        (BOTH, "2023-06-01/2024-06-01", ("not known for that day", "No one permission")),
    ],
)
def test_the_caution_says_what_is_wrong_and_what_to_do(given: str, when: str, says: tuple[str, ...]) -> None:
    found = grounds_on(papers(given), span(when))
    said = " ".join(found.caution("Heron Ledge"))
    for words in says:
        assert words.lower() in said.lower()


@pytest.mark.parametrize("given", ["", "?", YEAR, BOTH, "/", "2030-01-01/"])
@pytest.mark.parametrize("when", ["2024-06-01", "2025-06-01", "2023-06-01/2024-06-01", "/"])
def test_nothing_is_ever_called_lawful(given: str, when: str) -> None:
    rows = papers(given)
    for found in (grounds_on(rows, span(when)), outlook(rows, date(2024, 12, 20))):
        said = " ".join((found.words, found.tag, *found.caution("Heron Ledge"))).lower()
        assert not any(word in said for word in ("legal", "lawful", "allowed", "holds now"))


TODAY = date(2024, 12, 1)
AHEAD = [
    (YEAR, EXPIRING),  # 31 December is thirty days on
    ("2024-01-01/2025-01-01", EXPIRING),
    ("2024-01-01/2025-01-02", VALID),
    ("2024-01-01/2024-12-01", EXPIRING),
    ("2024-01-01/2024-11-30", LAPSED),
    ("2024-12-01/", VALID),
    ("2024-12-02/", NOT_BEGUN),
    ("/", VALID),
    ("?", NOT_ASKED),
    ("", NONE),
    # what follows without a gap takes its place, for each coming dive has a permission of its own day
    ("2024-01-01/2024-12-10 2024-12-11/2025-12-31", VALID),
    ("2024-01-01/2024-12-10 2024-12-11/2024-12-20", EXPIRING),
    ("2024-01-01/2024-12-10 2024-12-12/2025-12-31", EXPIRING),
    ("2024-01-01/2024-12-10 2024-12-11/", VALID),
    (f"? {YEAR}", EXPIRING),
    ("? 2020-01-01/2020-12-31", LAPSED),
]


@pytest.mark.parametrize(("given", "state"), AHEAD)
def test_what_is_due_before_the_next_dive(given: str, state: GroundsState) -> None:
    found = outlook(papers(given), TODAY)
    assert found.state == state
    assert bool(found.due("Heron Ledge")) == (state != VALID) == found.cautioned


@pytest.mark.parametrize(
    ("given", "words", "tag", "due"),
    [
        ("/", "valid, no last day on record", "", ""),
        ("2024-01-01/2025-12-31", "valid until 31 Dec 2025", "", ""),
        (
            YEAR,
            "valid until 31 Dec 2024",
            "valid until 31 Dec 2024",
            "Permission for Heron Ledge ends on 31 Dec 2024",
        ),
        (
            "/2024-11-30",
            "lapsed on 30 Nov 2024",
            "lapsed on 30 Nov 2024",
            "Permission for Heron Ledge lapsed on 30 Nov",
        ),
        (
            "2025-05-01/",
            "not begun: from 1 May 2025",
            "not begun: from 1 May 2025",
            "Permission for Heron Ledge begins",
        ),
        ("?", "not asked yet", "not asked yet", "Not asked yet about taking things from Heron Ledge"),
        (
            "",
            "no answer on record",
            "no answer on record",
            "No answer on record about taking things from Heron",
        ),
    ],
)
def test_the_words_of_what_is_due(given: str, words: str, tag: str, due: str) -> None:
    found = outlook(papers(given), TODAY)
    assert (found.words, found.tag) == (words, tag)
    assert found.due("Heron Ledge").startswith(due)


def test_a_chain_says_its_own_end() -> None:
    rows = papers("2024-01-01/2024-12-10 2024-12-11/2024-12-20")
    assert outlook(rows, TODAY).words == "valid until 20 Dec 2024"
    rows = papers("2024-01-01/2024-12-10 2024-12-11/")
    assert outlook(rows, TODAY).words == "valid, no last day on record"


def test_a_wrong_clock_moves_the_outlook_and_never_the_grounds_of_a_day() -> None:
    """The grounds of a day have no today to ask."""
    rows = papers(YEAR)
    before = grounds_on(rows, span("2024-06-01"))
    states = {outlook(rows, TODAY + timedelta(days=days)).state for days in (-4000, -100, 0, 4000)}
    assert states == {NOT_BEGUN, VALID, EXPIRING, LAPSED}
    assert grounds_on(rows, span("2024-06-01")) == before


def test_every_state_but_valid_is_cautioned() -> None:
    assert set(GroundsState) - CAUTIONED == {VALID}
