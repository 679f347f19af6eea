"""A reading is the same value whichever way it came in and went out."""

from dataclasses import fields, replace
from urllib.parse import urlencode

import pytest
from django.http import QueryDict
from hypothesis import example, given
from hypothesis import strategies as st

import dating
from catalogue.specimens.models import MarkReading, OwnMark
from catalogue.specimens.models.words import Certainty, Where
from catalogue.specimens.reading.form import MarkReadingForm
from catalogue.specimens.reading.value import (
    COLUMNS,
    DATING_CALLS,
    FRAME_WORDS,
    IN_ADDRESS,
    NOT_LOOKED,
    SIDES,
    Reading,
    arrangements,
    frames,
    symbols,
)
from dating.case import PLACES, READING_KEYS, read_mark_reading
from dating.case import MarkReading as DatedReading
from dating.spoken import ARRANGEMENT_WORDS
from tests import factories

REFERENCE = dating.reference()
LETTERS = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=60).map(str.strip)
CHARACTERS = st.one_of(st.none(), LETTERS.map(lambda typed: typed[:20].strip()))


def of(words: tuple[str, ...]) -> st.SearchStrategy[str | None]:
    """Not looked, or one of the words of the tables."""
    return st.sampled_from([None, *words])


READINGS = st.builds(
    Reading,
    letters=LETTERS,
    symbol=of(("", *REFERENCE.symbols)),
    frame=of(REFERENCE.frames),
    arrangement=of(REFERENCE.arrangements),
    where=st.sampled_from(Where.values),
    certainty=st.sampled_from(Certainty.values),
    **dict.fromkeys(SIDES, CHARACTERS),
)


def address(reading: Reading) -> QueryDict:
    """The query string of a reading as a browser sends it back."""
    return QueryDict(urlencode(reading.query()))


@given(READINGS)
def test_an_address_keeps_it(reading: Reading) -> None:
    on_the_base = replace(reading, where="base")
    assert Reading.of_query(address(on_the_base), REFERENCE) == on_the_base


@given(st.lists(st.tuples(st.sampled_from(IN_ADDRESS), st.text(max_size=70))))
def test_whatever_an_address_says_it_says_again(typed: list[tuple[str, str]]) -> None:
    once = Reading.of_query(QueryDict(urlencode(typed)), REFERENCE)
    assert Reading.of_query(address(once), REFERENCE) == once


@given(READINGS)
def test_a_row_keeps_it(reading: Reading) -> None:
    row = reading.row()
    assert row.pk is None and Reading.of_row(row) == reading


@given(READINGS)
@example(Reading(right="{"))
def test_the_dating_service_understands_it(reading: Reading) -> None:
    case = reading.case()
    taken = read_mark_reading(case, "marks[0]", REFERENCE)
    assert case["at"] in PLACES
    if taken is None:  # marks of punctuation alone are no letters to it
        assert not any(char.isalnum() or char == "?" for char in reading.letters)
        assert not reading.symbol and reading.frame in (None, "none")
        # nor is a bracket or a query alone beside it a character
        assert not any(char.isalnum() for chars in reading.beside.values() for char in chars or "")
        return
    assert (taken.at, taken.certainty) == (case["at"], reading.certainty)
    assert {side: chars for side, chars in taken.slots.items() if chars} == {
        side: chars for side, chars in reading.beside.items() if chars
    }


@pytest.mark.django_db
def test_a_stored_row_keeps_it() -> None:
    reading = Reading(
        "B?", "", "circle", left="1", right="", above="?", where="closure", certainty="doubtful"
    )
    row = reading.row()
    row.find = factories.find()
    row.save()
    assert Reading.of_row(MarkReading.objects.get()) == reading


def test_its_attributes_are_the_columns_of_its_row() -> None:
    own = {"id", "find", "created", "changed", "binned_at"}
    columns = {field.name for field in MarkReading._meta.concrete_fields} - own
    assert columns == set(COLUMNS) == {field.name for field in fields(Reading)}


def test_the_form_asks_and_the_dating_service_keeps_every_attribute() -> None:
    assert {*COLUMNS} <= {*MarkReadingForm.asks, *MarkReadingForm.usual}
    kept = {field.name for field in fields(DatedReading)}
    assert {*COLUMNS} - {"where"} <= {*READING_KEYS} == kept


def test_an_address_has_a_key_for_every_attribute_but_where_it_stands() -> None:
    assert {*IN_ADDRESS} == {*COLUMNS} - {"where", "certainty"} | {"mark_certainty", "none"}


def test_characters_longer_than_their_column_are_cut_in_the_row_alone() -> None:
    long = Reading("BW", right="9" * 40)
    assert long.row().right == "9" * 20 and long.case()["right"] == "9" * 40


@pytest.mark.parametrize("said", [{"symbol": "comet"}, {"frame": "cloud"}, {"arrangement": "loud"}])
def test_words_that_the_tables_lack_are_left_out(said: dict[str, str]) -> None:
    assert Reading.of_query(QueryDict(urlencode(said)), REFERENCE) == Reading()


def test_not_looked_nothing_there_and_unread_stay_three_things() -> None:
    reading = Reading.of_query(QueryDict("letters=B?&right=?&none=left&symbol=none"), REFERENCE)
    assert reading == Reading("B?", "", None, None, left="", right="?")
    assert reading.beside == {"left": "", "right": "?"}


@pytest.mark.parametrize(
    ("reading", "counts"),
    [
        (Reading(), False),
        (Reading(frame="none", right="7"), False),
        (Reading(symbol=""), False),
        (Reading(symbol="star"), True),
        (Reading(frame="circle"), True),
        (Reading("?"), True),
    ],
)
def test_only_the_mark_itself_makes_it_evidence(reading: Reading, counts: bool) -> None:
    assert reading.was_read is counts


def test_set_among_others() -> None:
    sides = dict(zip(SIDES, "1234", strict=True))
    read = Reading("BW", "wave", "circle", "plain", where="heel", certainty="probable", **sides)
    mark = Reading.of_mark(OwnMark(letters="TH", frame="hexagon"))
    assert mark == Reading("TH", "", "hexagon", "plain")
    assert mark.set_among(read) == Reading("TH", "", "hexagon", "plain", **sides)


def test_parts_of_the_vessel_are_known_to_the_dating_service() -> None:
    assert {DATING_CALLS.get(where, where) for where in Where.values} <= set(PLACES)


def test_every_word_of_the_tables_can_be_tapped() -> None:
    for choices, words in (
        (frames(), REFERENCE.frames),
        (arrangements(), REFERENCE.arrangements),
        (symbols(["comet"]), ("none", "comet", *REFERENCE.symbols)),
    ):
        assert choices[0] == NOT_LOOKED
        assert {value for value, _ in choices} == {"", *words}
    assert set(FRAME_WORDS) <= set(REFERENCE.frames)
    assert set(ARRANGEMENT_WORDS) == set(REFERENCE.arrangements)
