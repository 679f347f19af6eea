"""Years made shorter by rule: no year cut, no doubt lost, whatever room there is."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.labels.typesetting import WORDS_FONT, TypeRoom, fit_whole
from catalogue.labels.year_phrase import shorter_phrases
from dating.window import Bounds, in_words


@pytest.mark.parametrize(
    ("words", "forms"),
    [
        ("one of 1926, 1936, 1946", ["one of 1926, 36, 46", "1926, 36, 46"]),
        ("about 1926 to 1929", ["c. 1926–29"]),
        ("probably about 1926 to 1929", ["probably c. 1926–29", "prob. c. 1926–29"]),
        ("about 1898 to 1903", ["c. 1898–1903"]),
        ("about 1900 to 1909", ["c. 1900–09"]),
        ("one of 1896, 1902, 1906", ["one of 1896, 1902, 06", "1896, 1902, 06"]),
        ("probably 1890 or later", ["probably from 1890", "prob. from 1890"]),
        ("probably before 1901", ["prob. before 1901"]),
        ("about 1926 to 1929 (3 of 4 dated)", ["c. 1926–29 (3 of 4 dated)"]),
        ("1926 (3 of 4 dated)", []),
        ("1926", []),
        ("the evidence disagrees", []),
        ("made about 1926 to 1929 I think", []),
    ],
)
def test_each_phrase_has_its_shorter_forms(words, forms):
    assert shorter_phrases(words) == (words, *forms)


def test_many_years_are_told_by_how_many_and_from_when_to_when_only_in_the_end():
    forms = shorter_phrases("probably one of 1896, 1902, 1906, 1912")
    assert forms[-1] == "probably one of 4, 1896–1912"
    assert all("1902" in form for form in forms[:-1])


YEAR = st.integers(1500, 2026)


@st.composite
def phrases(draw) -> str:
    """Every phrase that the dating service makes of a window, by its own function."""
    probably = draw(st.booleans())
    if draw(st.booleans()):
        years = tuple(sorted(draw(st.sets(YEAR, min_size=2, max_size=9))))
        window = (years[0], years[-1])
    else:
        years, window = None, tuple(sorted(draw(st.tuples(YEAR, YEAR))))
        window = draw(st.sampled_from([window, (None, window[1]), (window[0], None)]))
    return in_words(Bounds(spans=(), window=window, years=years, disagree=False, probably=probably))


def full(form: str) -> list[int]:
    """The years that a form tells, read as a person does: two figures belong to the century before them."""
    told: list[int] = []
    for figures in re.findall(r"\d{2,4}", re.sub(r"one of \d, ", "", form)):
        told.append(int(figures) if len(figures) > 2 else told[-1] // 100 * 100 + int(figures))
    return told


@given(phrases())
def test_no_form_loses_a_year_or_a_doubt(words):
    years = [int(year) for year in re.findall(r"\d{4}", words)]
    for form in shorter_phrases(words):
        summed = re.search(r"one of (\d), ", form)
        if summed:
            assert int(summed[1]) == len(years) and full(form) == [years[0], years[-1]]
        else:
            assert full(form) == years
        assert words.startswith("probably") == form.startswith(("probably ", "prob. "))
        assert (" or later" in words) == (" or later" in form or "from" in form)
        assert ("before" in words) == ("before" in form)
        if "one of" in words:  # said, or plain from the years that stand there side by side
            assert "one of" in form or form.count(",") == len(years) - 1
        if "about" in words:
            assert "about" in form or "c. " in form


@given(phrases(), st.floats(10, 220), st.floats(4, 60), st.integers(1, 3))
def test_what_is_set_is_one_of_its_forms_whole_whatever_room_there_is(words, width, height, lines):
    block = fit_whole(
        shorter_phrases(words),
        WORDS_FONT,
        TypeRoom(width=width, height=height, largest=11, smallest=5, most_lines=lines),
    )
    if block:
        assert " ".join(block.lines) in shorter_phrases(words) and not block.cut
        assert len(block.lines) <= lines and block.height <= height + 1e-6


def test_less_room_takes_a_shorter_form_then_none():
    def set_in(width: float) -> str:
        block = fit_whole(
            shorter_phrases("one of 1926, 1936, 1946"),
            WORDS_FONT,
            TypeRoom(width=width, height=14, largest=10, smallest=7, most_lines=1),
        )
        return " ".join(block.lines) if block else ""

    assert [set_in(width) for width in (120, 60, 45, 20)] == [
        "one of 1926, 1936, 1946",
        "one of 1926, 36, 46",
        "1926, 36, 46",
        "",
    ]
