"""Small phrases of a find's page."""

import datetime
import types

import pytest

import dating
from catalogue.giving.services import came_back, hand_over, promise, withdraw
from catalogue.pages.finds.detail.marks import _used
from catalogue.pages.finds.detail.provenance import age_lines
from catalogue.pages.parts.dated import in_years, tells
from catalogue.pages.parts.history import CUT_AT, value_words
from catalogue.pages.parts.history_kinds import HISTORY_KINDS, told_columns
from catalogue.pages.parts.history_line import history_of, lasting
from catalogue.specimens.models import Opinion, Product, Specimen, Works
from catalogue.specimens.services import move_to
from tests import factories as make

THIS_YEAR = datetime.date.today().year
BEGUN = datetime.datetime(2025, 9, 1, 10, 0, tzinfo=datetime.UTC)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0, "0 min"), (59, "59 min"), (60, "1 h"), (190, "3 h 10 min"), (47 * 60, "47 h"), (7 * 1440, "7 days")],
)
def test_how_long_something_took(minutes: int, words: str) -> None:
    assert lasting(BEGUN, BEGUN + datetime.timedelta(minutes=minutes)) == words


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [(1920, 1935, "1920–1935"), (1946, 1946, "1946"), (1892, None, "1892 or later"), (None, None, "")],
)
def test_a_range_in_words(first: int | None, last: int | None, words: str) -> None:
    assert in_years(first, last) == words


def test_an_end_alone_is_inclusive() -> None:
    assert in_years(None, 1890) == "1890 or earlier"


@pytest.mark.parametrize(
    ("bits", "words"),
    [
        (0.0, "agrees with the rest"),
        (0.1, "narrows it a little"),
        (1.0, "narrows it"),
        (4.5, "settles most of it"),
    ],
)
def test_how_much_a_reason_says(bits: float, words: str) -> None:
    assert tells(bits) == words


@pytest.mark.parametrize(
    ("bits", "words"),
    [
        (0.0, "agrees with the rest"),
        (0.1, "counts for little"),
        (1.0, "counts for something"),
        (4.5, "counts for much"),
    ],
)
def test_nothing_is_settled_where_the_evidence_disagrees(bits: float, words: str) -> None:
    assert tells(bits, disagrees=True) == words


def test_a_reason_alone_that_says_nothing() -> None:
    assert tells(0.0, alone=True) == "says nothing of the years"


@pytest.mark.parametrize(
    ("first", "last", "made", "words"),
    [
        (None, None, "not yet dated", ""),
        (THIS_YEAR - 120, THIS_YEAR - 110, "about", "over 100 years old"),
        (THIS_YEAR - 90, THIS_YEAR - 60, "about", "over 50 years old, perhaps over 75"),
        (THIS_YEAR - 90, THIS_YEAR - 60, "probably about", "probably over 50 years old, perhaps over 75"),
        (None, THIS_YEAR - 60, "before", "over 50 years old, perhaps over 100"),
        (THIS_YEAR - 20, None, "or later", "perhaps over 10"),
        (THIS_YEAR - 5, THIS_YEAR - 2, "about", "under 10 years old"),
        (THIS_YEAR - 5, THIS_YEAR - 2, "probably about", "probably under 10 years old"),
    ],
)
def test_the_ages_that_rules_key_on(first: int | None, last: int | None, made: str, words: str) -> None:
    """No surer than the years that they follow from."""
    assert age_lines(first, last, made) == words


@pytest.mark.parametrize(
    ("windows", "words"),
    [
        ([(1922, 1950), (1930, 1960)], "used 1922–1960"),
        ([(1950, 1950)], "used 1950"),
        ([(1922, None)], "used from 1922"),
        ([(None, 1950)], "used until 1950"),
        ([(None, None)], ""),
        ([], ""),
    ],
)
def test_when_a_mark_was_used(windows: list, words: str) -> None:
    assert _used([dating.MarkShare("own-7", "Brackwater", 0.5, window) for window in windows]) == words


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        (["tibby-bros"], "the firm’s years: {}"),
        (["wheaton-w-circle"], "used {}, from memory"),
        (["dominion-d-diamond"], "used {}, in part from memory"),
        (["barnett-foster"], "the firm’s years: {}, from memory"),
        (["tibby-bros", "own-7"], "used {}"),
    ],
)
def test_years_of_the_firm_and_years_from_memory_say_so(marks: list[str], words: str) -> None:
    tabled = dating.reference().marks
    first, last = tabled[marks[0]].used_from, tabled[marks[0]].used_to
    shares = [dating.MarkShare(mark, "somebody", 0.5, (first, last)) for mark in marks]
    assert _used(shares) == words.format(f"{first}–{last}")


def test_values_in_a_change() -> None:
    columns = told_columns(Specimen, HISTORY_KINDS["find"].derived)
    column = {each.name: each for each in columns}
    assert value_words(column["shared"], True, {}) == "yes"
    assert value_words(column["shared"], False, {}) == "no"
    assert value_words(column["colour"], "aqua", {}) == "aqua"
    assert value_words(column["town"], 5, {}) == "something since removed"
    assert value_words(column["notes"], "x " * 500, {}).endswith("…")
    assert len(value_words(column["notes"], "x " * 500, {})) <= CUT_AT + 1


@pytest.mark.django_db
def test_the_line_of_a_piece_that_came_and_went() -> None:
    find = make.find("Small cordial", recovered_edtf="199X")
    bram, edda = make.person("Bram Tolley"), make.person("Edda Marsh")
    promise(find, bram, until=datetime.date(2099, 1, 1))
    withdraw(find)
    shelf = make.place("Hall case")
    move_to(Specimen.objects.get(pk=find.pk), shelf)
    hand_over(find, edda)
    came_back(find)
    words = [f"{entry.name} {entry.words}".strip() for entry in history_of(Specimen.objects.get(pk=find.pk))]
    for line in (
        "Promised to Bram Tolley, until 1 Jan 2099",
        "Promise withdrawn to Bram Tolley",
        "Moved to Hall case",
        "Moved out of Hall case",
        "Handed over to Edda Marsh",
        "Came back",
    ):
        assert line in words, line


@pytest.mark.django_db
def test_an_opinion_finds_what_it_names(owner_client) -> None:
    find, maker = make.find("Squat soda"), make.brackwater()
    known = types.SimpleNamespace(
        works=Works.objects.create(maker=maker, name="Port Ellarn works"),
        bottler=make.bottler(),
        product=Product.objects.create(name="Grey Heron", slug="grey-heron"),
    )
    for about in ("works", "bottler", "product"):
        row = getattr(known, about)
        data = {"about": about, "value": row.name.upper(), "on": "2025-03-01"}
        assert owner_client.post(f"/finds/{find.number}/opinion/", data).status_code == 302
        assert getattr(Opinion.objects.get(find=find, about=about), about) == row
