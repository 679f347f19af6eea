"""Input validation: whatever is given is answered, or refused in one sentence by its field."""

import json
from typing import Any

import pytest

from dating import Case, CaseError, Reference
from dating.command import answer

from .conftest import Ask

LETTERS = "".join("ABCDEFGH"[n % 8] for n in range(200))
OWN = {"id": "a", "letters": "ZZ", "maker": "Marrowby Glass", "used_from": 1950, "used_to": 2060}
TO_COME = {"valid_from": 2050}


@pytest.mark.parametrize(
    ("given", "at", "words"),
    [
        ({"region": "XX"}, "region", "“XX” is not known"),
        ({"region": "Atlantis"}, "region", "“Atlantis” is not known"),
        ({"contents": "moonbeams"}, "contents", "“moonbeams” is not known"),
        ({"mark": {"letters": LETTERS}}, "mark.letters", "more than 80 letters"),
        ({"mark": {"letters": "?" * 200}}, "mark.letters", "more than 80 letters"),
        ({"mark": {"letters": "A", "right": "1" * 200}}, "mark.right", "longer than 40"),
        ({"recovered": 2030}, "recovered", "2030, which is not between 1600 and 2026"),
        ({"this_year": 3000}, "this_year", "lies outside"),
        ({"known": [{"what": "x", "from": 1900, "to": 1890}]}, "known[0].to", "1890 is before 1900"),
        ({"known": [{"what": "x", "from": 19000}]}, "known[0].from", "is not a year"),
        ({"known": [{"from": 2027}]}, "known[0].from", "2027 is after this year, 2026"),
        ({"known": [{}, {"edtf": "2100/.."}]}, "known[1].edtf", "2100 is after this year, 2026"),
        (
            {"own": {"marks": [OWN, OWN | {"id": "b", "used_from": 2027}]}},
            "own.marks[1].used_from",
            "2027 is",
        ),
        (
            {
                "own": {
                    "marks": [OWN],
                    "date_codes": [{"id": "c", "mark_ids": "a", "kind": "last-digit"} | TO_COME],
                }
            },
            "own.date_codes[0].valid_from",
            "2050 is after this year, 2026",
        ),
        ({"mark": {"letters": "A"}, "marks": [{"letters": "B"}]}, "mark", "not both"),
    ],
)
def test_refused_in_one_sentence_by_its_field(
    ref: Reference, given: dict[str, Any], at: str, words: str
) -> None:
    with pytest.raises(CaseError) as caught:
        Case.from_dict({"this_year": 2026, **given}, ref)
    assert caught.value.at == at
    assert words in caught.value.message and "\n" not in caught.value.message


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"known": [{"from": 1900, "to": 2100}]}, "about 1900 to 2026"),
        ({"known": [{"from": 2026}]}, "2026 or later"),
        ({"known": [{"edtf": "1995/2100"}]}, "about 1995 to 2026"),
        ({"own": {"marks": [OWN]}, "mark": {"letters": "ZZ"}}, "about 1950 to 2026"),
        ({"mark": {"letters": "LG", "right": "2050", "only": ["liberty-lg"]}}, "about 1929 to 1994"),
    ],
    ids=str,
)
def test_a_last_year_to_come_is_this_year_and_characters_of_none_are_no_code(
    ask: Ask, given: dict[str, Any], words: str
) -> None:
    assert ask(given).words == words


@pytest.mark.parametrize("letters", ["..", "[..]", "..[..]..", "…", "*", "[..][..]"])
def test_gaps_alone_are_nothing_read(ask: Ask, letters: str) -> None:
    """Also where the place beside them was looked at and could not be read."""
    for beside in ({}, {"right": ".."}, {"left": "?", "below": "??"}):
        finding = ask({"mark": {"letters": letters, **beside}})
        assert (finding.window, finding.because) == (None, ())


@pytest.mark.parametrize("letters", ["?", "????", "?" * 80, "[?]", "?..?"])
def test_unread_letters_alone_date_nothing(ask: Ask, letters: str) -> None:
    finding = ask({"mark": {"letters": letters}})
    assert finding.window is None or finding.window[1] in (None, 2026)
    assert finding.conflicts == ()


def test_a_region_and_a_mark_that_exclude_each_other_are_answered(ask: Ask) -> None:
    mark = {"letters": "LG", "right": "69", "only": ["liberty-lg"]}
    assert ask({"region": "UK", "mark": mark}).words == ask({"region": "US", "mark": mark}).words == "1969"


def test_twenty_readings_on_one_bottle_are_answered(ask: Ask) -> None:
    finding = ask(
        {"marks": [{"letters": f"{one}?[HN]..", "right": "?1"} for one in LETTERS[:8] + "KLMNOPQRSTUV"]}
    )
    assert len(finding.because) == 20
    assert sum(finding.posterior) == pytest.approx(1)


def test_the_same_reading_twice_is_one_as_sure_as_the_surer(ask: Ask) -> None:
    once = ask({"mark": {"letters": "LG"}})
    for certainties in (("doubtful", "certain"), ("certain", "doubtful"), ("certain", "certain")):
        twice = ask({"marks": [{"letters": "LG", "certainty": sure} for sure in certainties]})
        assert (twice.posterior, twice.window) == (once.posterior, once.window)


def test_a_year_after_it_came_up_is_answered_with_what_is_wrong(ask: Ask) -> None:
    finding = ask({"known": [{"what": "a label", "from": 2000}], "recovered": 1990})
    (conflict,) = finding.conflicts
    assert finding.window is None
    assert "1990" in conflict.why


def test_an_end_beyond_this_year_ends_with_it(ask: Ask) -> None:
    assert ask({"known": [{"what": "a label", "from": 1990, "to": 2040}]}).window == (1990, 2026)


def test_a_year_beside_a_mark_that_is_yet_to_come_is_no_year(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "LG", "right": "2030"}})
    assert (finding.window, finding.pieces[0].coded) == (None, False)
    # characters that this maker would not have put there speak for another
    assert finding.words == "not dated by this mark; if it is Liberty Glass Co.: 1934–1994"


def test_the_command_says_the_field(ref: Reference) -> None:
    out, fine = answer(json.dumps({"id": 1, "region": "XX"}), ref)
    assert not fine and out["at"] == "region"
