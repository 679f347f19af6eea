"""Duplicate evidence: what is said twice, in whatever words of the case, counts once."""

from typing import Any

import pytest

from dating import Reference

from .conftest import Ask

FIRM = {
    "what": "bottler in business",
    "from": 1884,
    "to": 1910,
    "certainty": "probable",
    "source": "a directory",
}


@pytest.mark.parametrize(
    "again",
    [{}, {"certainty": "doubtful"}, {"what": " Bottler  in business"}, {"source": "the directory of 1890"}],
)
def test_known_years_said_twice_count_once(ask: Ask, again: dict[str, Any]) -> None:
    once = ask({"known": [FIRM]})
    twice = ask({"known": [FIRM, {**FIRM, **again}]})
    assert twice.posterior == once.posterior
    assert len(twice.because) == 1 and twice.because[0].weight == once.because[0].weight


def test_the_surer_of_two_sayings_counts_and_both_sources_are_named(ask: Ask) -> None:
    sure = {**FIRM, "certainty": "certain", "source": "a deed"}
    (reason,) = ask({"known": [FIRM, sure]}).because
    assert reason.weight == ask({"known": [sure]}).because[0].weight
    assert reason.source == "a directory; a deed"


def test_other_years_or_another_thing_are_evidence_of_their_own(ask: Ask) -> None:
    other = ask({"known": [FIRM, {**FIRM, "what": "lighthouse built"}, {**FIRM, "to": 1912}]})
    assert len(other.because) == 3


def test_an_own_code_without_years_takes_those_of_its_mark(ref: Reference, ask: Ask) -> None:
    own: dict[str, Any] = {
        "marks": [
            {"id": "tern", "letters": "TNH", "maker": "Tern & Hollis", "used_from": 1921, "used_to": 1955},
            {"id": "open", "letters": "OPN", "maker": "Open & Sons", "used_from": "", "used_to": ""},
        ],
        "date_codes": [
            {"id": "c", "mark_ids": "tern", "kind": "last-two-digits"},
            {"id": "o", "mark_ids": "open;tern", "kind": "last-two-digits"},
            {"id": "n", "mark_ids": "", "kind": "last-digit"},
            {"id": "given", "mark_ids": "tern", "kind": "last-digit", "valid_from": 1930},
        ],
    }
    codes = ref.with_own(**own).date_codes
    assert (codes["c"].valid_from, codes["c"].valid_to) == (1921, 1955)
    assert (codes["o"].valid_from, codes["o"].valid_to) == (None, None)
    assert (codes["n"].valid_from, codes["n"].valid_to) == (None, None)
    assert (codes["given"].valid_from, codes["given"].valid_to) == (1930, None)
    mark = {"letters": "TNH", "right": "78"}
    only = {"marks": own["marks"], "date_codes": own["date_codes"][:1]}
    (reason,) = ask({"mark": mark, "own": only}).because
    assert "78 is no year of this maker" in reason.detail
