"""Edit distance, judged by its definition worked out the plain way, and by a general library's examples."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specimens.search.spelling import (
    NUMBERS,
    NearWords,
    edit_distance,
    letters_forgiven,
    likely_words,
    listed_keys,
    spans_to_ask_for,
)

WORDS = ["brackwater", "marrowby", "brinemouth", "orlick", "inchgate", "hollis", "bottle", "amber", "ink"]
KNOWN = [(word, n) for n, word in enumerate(WORDS)]


def by_definition(a: str, b: str) -> int:
    """Optimal string alignment, as Damerau (1964) counts errors, by its recursion."""

    @cache
    def of(n: int, m: int) -> int:
        if not n or not m:
            return n + m
        best = min(of(n - 1, m) + 1, of(n, m - 1) + 1, of(n - 1, m - 1) + (a[n - 1] != b[m - 1]))
        if n > 1 and m > 1 and a[n - 1] == b[m - 2] and a[n - 2] == b[m - 1]:
            best = min(best, of(n - 2, m - 2) + 1)
        return best

    return of(len(a), len(b))


@given(st.text("abc", max_size=7), st.text("abc", max_size=7))
def test_the_distance_is_that_of_its_definition(a, b):
    true = by_definition(a, b)
    for most in (1, 2, 3):
        whole, _ = edit_distance(a, b, most)
        assert whole == min(true, most + 1), (a, b)


@given(st.text("abc", min_size=1, max_size=6), st.text("abc", max_size=8))
def test_the_distance_to_a_beginning_is_the_least_of_all_beginnings(a, b):
    true = min(by_definition(a, b[:n]) for n in range(len(b) + 1))
    assert edit_distance(a, b, 3)[1] == min(true, 4)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("brakwater", "brackwater"),  # a letter missing
        ("brackwwater", "brackwater"),  # one too many
        ("brackwader", "brackwater"),  # a wrong one
        ("brcakwater", "brackwater"),  # two exchanged
        ("brakwatr", "brackwater"),  # two missing
        ("marowbi", "marrowby"),
        ("brinmou", "brinemouth"),  # still being typed
        ("rbinemouth", "brinemouth"),  # the first two exchanged
        ("botle", "bottle"),
        ("ambre", "amber"),
    ],
)
def test_a_wrong_letter_or_two(typed, meant):
    assert likely_words(typed, KNOWN)[0].word == meant


@pytest.mark.parametrize("typed", ["inc", "zzzzzz", "brcktr", "am", ""])
def test_what_is_not_forgiven(typed):
    assert likely_words(typed, KNOWN) == []


def test_the_nearest_comes_first_then_those_that_begin_alike_then_frequent_ones():
    found = likely_words("bolder", [("older", 9), ("bolter", 1), ("boulder", 5), ("holder", 7)])
    assert [each.word for each in found] == ["boulder", "bolter", "older", "holder"]


@given(st.text("abc", min_size=3, max_size=10), st.text("abc", min_size=4, max_size=10))
def test_every_word_that_may_be_meant_is_under_a_key_that_is_asked_for(word, typed):
    if likely_words(typed, [(word, 1)]):
        assert NearWords([word]).near(typed) == {word}


@given(st.text("abcdefgh", min_size=4, max_size=12), st.data())
def test_so_is_one_whose_letters_are_wrong_missing_too_many_or_exchanged(word, data):
    typed = list(word)
    for _ in range(data.draw(st.integers(1, 2))):
        at = data.draw(st.integers(0, len(typed) - 1))
        change = data.draw(st.sampled_from(("wrong", "missing", "more", "exchanged", "cut")))
        if change == "wrong":
            typed[at] = "x"
        elif change == "missing" and len(typed) > 4:
            del typed[at]
        elif change == "exchanged":
            typed[at : at + 2] = reversed(typed[at : at + 2])
        elif change == "cut" and at > 5:
            del typed[at:]
        else:
            typed.insert(at, "x")
    if likely_words("".join(typed), [(word, 1)]):
        assert NearWords([word, "zzzz"]).near("".join(typed)) == {word}


@given(st.text(min_size=3, max_size=40), st.integers(0, NUMBERS - 1))
def test_a_key_is_a_whole_number_that_a_store_takes_and_tells_the_word(word, number):
    keys = listed_keys(word, number)
    assert all(0 <= key < 1 << 63 and key % NUMBERS == number for key in keys)
    assert len(keys) <= 29 and len(set(keys)) == len(keys)
    if letters_forgiven(word):
        asked = spans_to_ask_for(word)
        assert all(any(low <= key < high for key in keys) for low, high in asked)
