"""The window, its words, age and EDTF."""

from typing import Any

import pytest

from .conftest import Ask


def known(start: int | None, end: int | None, certainty: str = "certain") -> dict[str, Any]:
    return {"what": "shop", "from": start, "to": end, "certainty": certainty}


@pytest.mark.parametrize(
    ("given", "window", "words", "edtf", "age"),
    [
        ({}, None, "not yet dated", None, ""),
        ({"features": ["colour-aqua"]}, None, "not yet dated", None, ""),
        ({"features": [{"id": "acl", "certainty": "doubtful"}]}, None, "not yet dated", None, ""),
        ({"known": [known(1946, 1946)]}, (1946, 1946), "1946", "1946", "80 years old"),
        ({"known": [known(2025, 2025)]}, (2025, 2025), "2025", "2025", "1 year old"),
        (
            {"known": [known(1870, 1890)]},
            (1870, 1890),
            "about 1870 to 1890",
            "1870/1890",
            "about 136 to 156 years old",
        ),
        ({"known": [known(1964, None)]}, (1964, None), "1964 or later", "1964/..", "at most 62 years old"),
        ({"known": [known(None, 1919)]}, (None, 1919), "before 1920", "../1919", "at least 107 years old"),
        (
            {"known": [known(1850, 1890, "probable")]},
            (1850, 1890),
            "probably about 1850 to 1890",
            "1850?/1890?",
            "about 136 to 176 years old",
        ),
        (
            {"known": [known(1850, 1890), known(1850, 1900, "probable")]},
            (1850, 1890),
            "about 1850 to 1890",
            "1850/1890",
            "about 136 to 176 years old",
        ),
        (
            {"known": [known(1850, 1890), known(1860, None, "probable")]},
            (1860, 1890),
            "probably about 1860 to 1890",
            "1860?/1890?",
            "about 136 to 166 years old",
        ),
        ({"known": [known(1900, 1910), known(1920, 1930)]}, None, "the evidence disagrees", None, ""),
        (
            {"known": [known(1900, 1910), known(1920, 1930, "doubtful")]},
            (1900, 1910),
            None,
            "1900/1910",
            None,
        ),
        (
            {"known": [{"what": "seen", "edtf": "[1926,1936]"}]},
            (1926, 1936),
            "one of 1926, 1936",
            "[1926,1936]",
            None,
        ),
        ({"known": [{"what": "seen", "edtf": "1930~/1945"}]}, (1925, 1945), "about 1925 to 1945", None, None),
        (
            {"known": [{"what": "firm", "from": 1900, "to": 1910, "of_firm": True}]},
            (1890, 1920),
            None,
            None,
            None,
        ),
        (
            {"known": [{"what": "x", "from": 1900, "to": 1910, "to_circa": True}]},
            (1900, 1915),
            None,
            None,
            None,
        ),
        ({"known": [known(1550, 1650)]}, (1550, 1650), None, "1550/1650", None),
        ({"known": [known(2000, 2100)]}, (2000, 2026), None, "2000/2026", None),
        ({"features": ["crown-finish", "applied-finish"]}, None, "not yet dated", None, ""),
    ],
)
def test_answers(
    ask: Ask, given: dict[str, Any], window: Any, words: str | None, edtf: str | None, age: str | None
) -> None:
    finding = ask(given)
    assert finding.window == window
    if words is not None:
        assert finding.words == words
    if edtf is not None or words == "not yet dated":
        assert finding.edtf == edtf
    if age is not None:
        assert finding.age_words == age


def test_ends_in_the_year_of_recovery(ask: Ask) -> None:
    finding = ask({"known": [known(1900, 1980)], "recovered": 1975})
    assert finding.window == (1900, 1975)
    assert finding.axis == (1600, 1975)
    assert len(finding.posterior) == 376


def test_disagreement_still_gives_likely_years_and_a_best(ask: Ask) -> None:
    finding = ask({"features": ["acl", "applied-finish"]})
    assert (finding.window, finding.years, finding.age, finding.edtf) == (None, None, None, None)
    assert finding.likely and finding.best is not None


def test_best_is_the_middle_of_the_plateau(ask: Ask) -> None:
    assert ask({"known": [known(1900, 1910)]}).best == 1905
    assert ask({"known": [known(1900, 1911)]}).best == 1905


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"features": ["crown-finish"]},
        {"known": [known(None, 1919)]},
        {"known": [known(1964, None)]},
        {"features": [{"id": "crown-finish", "certainty": "doubtful"}]},
    ],
)
def test_no_best_where_the_plateau_runs_to_an_open_side(ask: Ask, given: dict[str, Any]) -> None:
    assert ask(given).best is None


def test_no_best_without_a_window(ask: Ask) -> None:
    assert ask({"features": ["colour-aqua"]}).best is None


def test_age_counts_to_this_year(ask: Ask) -> None:
    finding = ask({"known": [known(1870, 1890)], "this_year": 2000})
    assert finding.age == (110, 130)
    assert finding.this_year == 2000
    assert finding.reference_version
