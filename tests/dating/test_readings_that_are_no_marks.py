"""Readings that are no marks: inscriptions in no table, gaps, towns, phrases, words of the trade."""

import random
import string

import pytest

from dating import Finding, Reference
from dating.edit_distance import at_random, chance, pattern
from dating.inscription import reads_as, trade_words

from .conftest import Ask

LETTERS = string.ascii_uppercase
# invented parts of names
PARTS = ("SK", "BAR", "TOL", "MEN", "VEL", "OR", "DUN", "KES", "HAL", "WIT", "GRO", "PEN")


def rests_on_a_maker(finding: Finding) -> bool:
    makers: dict[str, float] = {}
    for mark in finding.marks:
        if mark.id:
            makers[mark.maker] = makers.get(mark.maker, 0.0) + mark.probability
    return finding.window is not None or max(makers.values(), default=0.0) >= 0.5


def test_hardly_any_letters_at_random_are_left_with_a_maker(ask: Ask, ref: Reference) -> None:
    """At most 5 of 300 that spell no mark of the tables, half of them with a digit beside."""
    draw = random.Random(11)
    tried, left = 0, 0
    while tried < 300:
        letters = "".join(draw.choices(LETTERS, k=draw.choice((2, 3, 3, 4, 4, 5, 6))))
        beside = {"right": draw.choice(string.digits)} if draw.random() < 0.5 else {}
        if letters not in ref.listed.spelled:
            tried += 1
            left += rests_on_a_maker(ask({"mark": {"letters": letters, **beside}}))
    assert left <= 5


def test_invented_names_with_a_worn_gap_get_no_maker(ask: Ask) -> None:
    """Before: of 120 such names 119 got a window and 50 a maker."""
    draw = random.Random(7)
    for _ in range(60):
        one, other = ("".join(draw.choices(PARTS, k=2)) for _ in range(2))
        at = draw.randrange(1, len(one) - 1)
        worn = f"{one[:at]}[..]{one[at + 2 :]} & {other[:1]}?{other[2:]}"
        assert not rests_on_a_maker(ask({"mark": {"letters": worn}})), worn


def test_a_gap_frees_no_mark_of_what_its_added_letters_cost() -> None:
    """Three letters read beside a gap are not a mark of one letter and two scratches for nothing."""
    assert chance(pattern("SKA[..]"), "S") == pytest.approx(chance(pattern("SKA"), "S"))
    assert chance(pattern("SK[..]"), "SKETCHBOOK") == pytest.approx(0.95**2)  # the gap itself is free


def test_an_inscription_in_no_table_is_no_less_likely_than_five_letters() -> None:
    assert at_random(pattern("ABCDE")) == pytest.approx(26.0**-5)
    assert at_random(pattern("ABCDEFGHIJKL")) == pytest.approx(26.0**-5)
    assert at_random(pattern("ABC")) == pytest.approx(26.0**-3)


@pytest.mark.parametrize(
    ("letters", "what"),
    [
        ("SAN FRANCISCO", "a town"),
        ("Pittsburgh", "a town"),
        ("TRADE MARK REGISTERED", "a phrase of many bottles (a registered name)"),
        ("BREWING COMPANY", "plain words of the trade"),
        ("Ginger beer", "plain words of the trade"),
        ("ROOT", ""),  # a mark of the tables, whatever else it means
        ("CO LTD", ""),  # stands for nothing by itself
        ("SAN FRAN??SCO", ""),  # not read whole
        ("AND", ""),
        ("SKELLOW", ""),
    ],
)
def test_towns_phrases_and_trade_words_are_told(ask: Ask, ref: Reference, letters: str, what: str) -> None:
    assert reads_as(letters, ref) == what
    finding = ask({"mark": {"letters": letters}})
    if what:
        assert finding.window is None, finding.words
        assert finding.misplaced == (f"“{letters}” reads as {what}: put it under lettering.",)
    else:
        assert finding.misplaced == ()


def test_a_mark_of_the_tables_is_never_a_trade_word(ref: Reference) -> None:
    for mark in ref.marks.values():
        assert reads_as(mark.letters, ref) == ""
    assert len(trade_words()) > 50


def test_years_that_nobody_published_are_not_called_published_or_ones_own(ask: Ask) -> None:
    (reason,) = ask({"mark": {"letters": "SKELLOWBY"}}).because
    assert (reason.source, reason.why_weight) == ("", "seen for certain")
