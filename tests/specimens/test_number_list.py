"""Numbers typed, pasted and scanned: one parser of them."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specimens.models import Specimen
from catalogue.specimens.named_finds import finds_named
from catalogue.specimens.number_list import MOST_NUMBERS, as_ranges, read_numbers
from tests import factories


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        ("2026.14.3", ["2026.14.3"]),
        ("2026.14.3a", ["2026.14.3a"]),
        ("2026.0.1-3", ["2026.0.1", "2026.0.2", "2026.0.3"]),
        ("2026.0.1–3", ["2026.0.1", "2026.0.2", "2026.0.3"]),
        ("2026.0.1 - 3", ["2026.0.1", "2026.0.2", "2026.0.3"]),
        ("2026.0.1 to 2026.0.2", ["2026.0.1", "2026.0.2"]),
        ("2026.0.1..2", ["2026.0.1", "2026.0.2"]),
        ("2026-14-3", ["2026.14.3"]),
        ("2026.1.1, 2026.1.2;2026.1.3\t2026.1.4\n2026.1.5", [f"2026.1.{n}" for n in range(1, 6)]),
        ("2026.1.1 2026.1.1", ["2026.1.1"]),
        ("http://192.168.1.20:8737/f/2026.0.1", ["2026.0.1"]),
        ("HTTPS://Bottles.example/f/2026.0.1A\r\n", ["2026.0.1a"]),
        ("http://localhost:8000/finds/2026.0.1/?view=table#place", ["2026.0.1"]),
        ("\ufeff2026.0.1\u00a02026.0.2\u200b", ["2026.0.1", "2026.0.2"]),
        ("(2026.0.1), '2026.0.2'.", ["2026.0.1", "2026.0.2"]),
        ("  \n ,; ", []),
    ],
)
def test_numbers_as_people_give_them(typed: str, numbers: list[str]) -> None:
    read = read_numbers(typed)
    assert (read.numbers(), read.mistakes) == (numbers, ())


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2026.0.26-1", "“2026.0.26-1”: this range runs backwards; write 2026.0.1-26."),
        ("2026.1.1-2026.2.3", "a range stays within one dive"),
        ("2026.0.1a-3", "a range counts whole pieces"),
        ("2026.0.1-3.4", "where does this range end?"),
        ("bottle", "“bottle”: this is no number; write it as on its label, 2026.14.3."),
        ("2026.0.1\n2026.x\n2026.0.2", "Line 2, “2026.x”"),
        ("http://192.168.1.20/makers/tern/", "this is no number"),
        ("x" * 300, "…"),
    ],
)
def test_a_mistake_is_named_with_its_place_and_what_to_do(typed: str, said: str) -> None:
    sentences = read_numbers(typed).complaints()
    assert len(sentences) == 1 and said in sentences[0]
    assert len(sentences[0]) < 140


def test_many_mistakes_are_counted_not_listed() -> None:
    assert (
        read_numbers("what a long sentence this is now").complaints()[-1] == "2 more are no numbers either."
    )


@given(st.text(alphabet=string.printable + "–…é\u200b", max_size=80))
def test_no_word_is_lost(typed: str) -> None:
    """Each word becomes a run or a mistake: what has a letter or a figure is never passed over."""
    read = read_numbers(typed)
    if any(sign.isalnum() for sign in typed):
        assert read.runs or read.mistakes


NUMBERS = st.lists(
    st.tuples(st.integers(1900, 2030), st.integers(0, 9), st.integers(1, 40), st.sampled_from(["", "", "a"]))
)


@given(NUMBERS)
def test_what_is_shortened_is_read_back(given_numbers: list[tuple[int, int, int, str]]) -> None:
    numbers = list(dict.fromkeys(f"{y}.{o}.{p}{part}" for y, o, p, part in given_numbers))
    assert read_numbers(as_ranges(numbers)).numbers() == numbers


@pytest.mark.django_db
def test_a_year_of_leading_noughts_is_no_find_and_no_fault() -> None:
    """A day of the year 1, as a spreadsheet writes it: found by generated requests."""
    assert read_numbers("0001-01-01 0000.0.1-3").numbers() == ["0001.1.1", "0000.0.1", "0000.0.2", "0000.0.3"]
    assert finds_named("0001-01-01").complaints() == ["No find has the number 0001.1.1."]


@pytest.mark.django_db
def test_unknown_numbers_and_those_in_the_bin_are_one_sentence_each() -> None:
    finds = [factories.find() for _ in range(4)]
    finds[1].put_in_bin()
    year = finds[0].number_year
    named = finds_named(f"{year}.0.1-6 {year}.9.9")
    assert list(named.keys.values()) == [finds[0].pk, finds[2].pk, finds[3].pk]
    assert named.complaints() == [
        f"No find has the numbers {year}.0.5-6, {year}.9.9.",
        f"{year}.0.2 is in the bin: restore it first, or leave it out.",
    ]


@pytest.mark.django_db
def test_a_hundred_thousand_numbers_are_refused_at_once(django_assert_num_queries) -> None:
    with django_assert_num_queries(0):
        assert "100,000 numbers" in finds_named("2026.0.1-100000").complaints()[0]
        pasted = "\n".join(f"2026.0.{n}" for n in range(1, 100_001))
        assert "100,000 numbers" in finds_named(pasted).complaints()[0]


@pytest.mark.django_db
def test_the_most_numbers_are_looked_up_a_thousand_at_a_time(django_assert_max_num_queries) -> None:
    with django_assert_max_num_queries(10):
        assert len(finds_named(f"2026.0.1-{MOST_NUMBERS}").unknown) == MOST_NUMBERS
    assert Specimen.everything.count() == 0
