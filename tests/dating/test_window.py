"""The window, its words, age and EDTF."""

from typing import Any

import pytest

from dating.window import Peak, Window, peak
from dating.years import axis_to

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
            "probably about 136 to 176 years old",
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
            "probably about 136 to 166 years old",
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
        (
            {"features": ["crown-finish", "applied-finish"]},
            (1892, None),
            "probably 1892 or later",
            "1892?/..",
            "probably at most 134 years old",
        ),
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


def test_disagreement_still_gives_likely_years_and_no_best(ask: Ask) -> None:
    finding = ask({"features": ["acl", "applied-finish"]})
    assert (finding.window, finding.years, finding.age, finding.edtf) == (None, None, None, None)
    assert finding.likely and finding.peak == Peak()


def test_level_years_have_no_best_and_say_so(ask: Ask) -> None:
    finding = ask({"known": [known(1900, 1910)]})
    assert (finding.best, finding.peak.level, finding.peak_words) == (
        None,
        (1900, 1910),
        "evenly likely 1900–1910",
    )


AXIS = axis_to(2026)


def posterior_of(shares: dict[int, float]) -> list[float]:
    return [shares.get(year, 0.0) for year in AXIS.years]


@pytest.mark.parametrize(
    ("shares", "expected"),
    [
        ({1926: 0.6, 1936: 0.3, 1946: 0.1}, Peak(best=1926)),
        ({1926: 0.5, 1936: 0.26, 1946: 0.24}, Peak()),  # more than half as likely as the first
        ({1926: 0.34, 1936: 0.33, 1946: 0.33}, Peak()),  # level, but not one after the other
        ({1926: 0.3, 1927: 0.29, 1928: 0.3, 1946: 0.11}, Peak(level=(1926, 1928))),
        ({1926: 0.22, 1927: 0.21, 1946: 0.1, 1950: 0.2, 1955: 0.17, 1960: 0.1}, Peak()),  # less than half
    ],
)
def test_a_best_year_stands_out_and_level_years_hold_half(shares: dict[int, float], expected: Peak) -> None:
    assert peak(posterior_of(shares), AXIS, Window(1926, 1960)) == expected
    assert peak(posterior_of(shares), AXIS, None) == Peak()


def test_the_highest_years_in_words() -> None:
    said = [one.words for one in (Peak(best=1926), Peak(level=(1890, 1915)), Peak())]
    assert said == ["most likely 1926", "evenly likely 1890–1915", ""]


def test_one_year_needs_no_second_word(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "LG", "right": "69"}})
    assert (finding.words, finding.best, finding.peak_words) == ("probably 1969", 1969, "")


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
