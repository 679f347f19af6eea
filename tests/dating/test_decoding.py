"""What would 7 mean? Answered while a scheme is being described."""

from typing import Any

import pytest

from dating import Reference, what_would

from .own_rows import CODES


@pytest.mark.parametrize(
    ("text", "options", "words"),
    [
        ("7", {}, "1927, 1937 or 1947"),
        ("37", {}, "1937"),
        ("37", {"bottler": "Gannet Mineral Waters"}, "1937"),
        ("7", {"bottler": "Gannet Mineral Waters"}, "7 is not the last two figures of a year"),
        ("559", {}, "559 is not the last figure of a year"),
        ("", {}, "nothing to read"),
    ],
)
def test_words(text: str, options: dict[str, Any], words: str) -> None:
    assert what_would(text, CODES[1:], this_year=2026, **options).words.startswith(words)


def test_years_and_schemes_used(ref: Reference) -> None:
    found = what_would("Y", [ref.date_codes["glenshaw-lip-letter"]])
    assert (found.years, found.words) == ((1953,), "1953")
    assert found.codes[0].id == "glenshaw-lip-letter"


def test_open_years_of_use_give_too_many() -> None:
    found = what_would("7", [{"mark_ids": "", "kind": "last-digit"}], this_year=2026)
    assert len(found.years) == 42
    assert "say from when to when" in found.words


def test_works() -> None:
    row = {"mark_ids": "new", "kind": "works-table", "table": "3=Marrowby,1921-1922"}
    found = what_would("3", [row])
    assert (found.works, found.words) == (("Marrowby",), "1921 or 1922")


def test_bad_scheme_says_what_is_wrong() -> None:
    assert (
        "is not of the form key=year"
        in what_would("3", [{"mark_ids": "", "kind": "letter-table", "table": "G:1"}]).words
    )
    assert (
        "before"
        in what_would(
            "3", [{"mark_ids": "", "kind": "last-digit", "valid_from": 1950, "valid_to": 1940}]
        ).words
    )


def test_nothing_but_hints() -> None:
    assert what_would("3", [{"mark_ids": "", "kind": "other"}]).words == "no scheme that could be read here"
