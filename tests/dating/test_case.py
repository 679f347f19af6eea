"""Cases as they are given: what is refused, where, and with the nearest known values named."""

from typing import Any

import pytest

from dating import Case, CaseError, Reference

from .own_rows import OWN

BAD: list[tuple[object, str, str]] = [
    ([], "", "an object"),
    ({"feature": []}, "feature", "nearest: features"),
    ({"features": "acl"}, "features", "a list"),
    ({"features": ["crown-finsh"]}, "features[0]", "crown-finish"),
    ({"features": ["acl", {"id": "acl-mlk"}]}, "features[1].id", "acl-milk"),
    ({"features": [{"id": "acl", "sure": 1}]}, "features[0].sure", "unknown key"),
    ({"features": [{"id": "acl", "certainty": "sure"}]}, "features[0].certainty", "certain"),
    ({"features": [{"id": 7}]}, "features[0].id", "text"),
    ({"features": [7]}, "features[0]", "an object"),
    ({"features": [{}]}, "features[0].id", "unknown feature"),
    ({"mark": {}, "marks": [{"letters": "A"}]}, "mark", "not both"),
    ({"marks": [{"letters": 5}]}, "marks[0].letters", "text"),
    ({"mark": {"letters": "A" * 81}}, "mark.letters", "80 letters"),
    ({"mark": {"letters": "A" * 500}}, "mark.letters", "longer"),
    ({"mark": {"frame": "blob"}}, "mark.frame", "not known"),
    ({"mark": {"letters": "A", "symbol": "stars"}}, "mark.symbol", "star"),
    ({"mark": {"letters": "A", "at": "bse"}}, "mark.at", "base"),
    ({"mark": {"letters": "A", "right": 7}}, "mark.right", "text"),
    ({"mark": {"letters": "A", "right": "7" * 50}}, "mark.right", "longer"),
    ({"mark": {"letters": "A", "only": ["liberty"]}}, "mark.only[0]", "liberty-lg"),
    ({"known": [{"from": 1900, "to": 1890}]}, "known[0].to", "out of order"),
    ({"known": [{"from": "1900"}]}, "known[0].from", "whole numbers"),
    ({"known": [{"from": True}]}, "known[0].from", "whole numbers"),
    ({"known": [{"from": 0}]}, "known[0].from", "not a year"),
    ({"known": [{"from": 10**30}]}, "known[0].from", "not a year"),
    ({"known": [{"from": 1900, "edtf": "1900"}]}, "known[0].edtf", "not both"),
    ({"known": [{"edtf": "1930s"}]}, "known[0].edtf", "193X"),
    ({"known": [{"from_circa": 1}]}, "known[0].from_circa", "true or false"),
    ({"region": "Mars"}, "region", "not known"),
    ({"contents": 5}, "contents", "text"),
    ({"bottler": 5}, "bottler", "text"),
    ({"recovered": 2027, "this_year": 2026}, "recovered", "not between"),
    ({"recovered": 1500}, "recovered", "not between"),
    ({"this_year": 1600}, "this_year", "outside"),
    ({"look_next": "yes"}, "look_next", "true or false"),
    ({"asked": [5]}, "asked[0]", "text"),
    ({"own": []}, "own", "an object"),
    ({"own": {"marks": ["x"]}}, "own.marks[0]", "columns"),
    ({"own": {"marks": [{**OWN["marks"][0], "used_to": 1900}]}}, "own.marks[0].used_to", "out of order"),
    ({"own": {"date_codes": [OWN["date_codes"][0]]}}, "own.date_codes[0].mark_ids", "no mark"),
    ({"own": {"marks": [{"letters": "A"}]}}, "own.marks[0].id", "missing"),
]


@pytest.mark.parametrize(("given", "at", "reason"), BAD)
def test_refused_with_its_key_path(ref: Reference, given: Any, at: str, reason: str) -> None:
    with pytest.raises(CaseError) as caught:
        Case.from_dict(given, ref)
    assert caught.value.at == at
    assert reason in caught.value.message


def test_keys_may_be_left_out_or_null(ref: Reference) -> None:
    case = Case.from_dict(dict.fromkeys(("features", "marks", "known", "region", "own", "this_year")), ref)
    assert case.features == () and case.marks == () and case.this_year > 2024


@pytest.mark.parametrize(
    "mark", [{}, {"letters": ""}, {"letters": "", "frame": "none", "right": ""}, {"letters": "…"}]
)
def test_nothing_read_is_no_reading(ref: Reference, mark: dict[str, Any]) -> None:
    assert Case.from_dict({"mark": mark}, ref).marks == ()


def test_a_form_left_empty_but_for_characters(ref: Reference) -> None:
    (reading,) = Case.from_dict(
        {"mark": {"letters": "", "symbol": "", "frame": "none", "right": " 7 "}}, ref
    ).marks
    assert (reading.letters, reading.symbol, reading.frame, reading.right) == (None, None, None, "7")
    assert reading.label == "a mark not read, 7 at the right"


def test_looked_and_nothing_there(ref: Reference) -> None:
    (reading,) = Case.from_dict(
        {"mark": {"letters": "A", "symbol": "", "frame": "", "arrangement": ""}}, ref
    ).marks
    assert (reading.symbol, reading.frame, reading.arrangement) == ("", "none", "plain")
    (sign,) = Case.from_dict({"mark": {"letters": "", "symbol": "acorn"}}, ref).marks
    assert (sign.letters, sign.label) == ("", "an acorn")


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        ({"letters": "TH", "frame": "hexagon", "arrangement": "with-ampersand", "right": "29"},
         "T&H in a hexagon, 29 at the right"),
        ({"letters": "RCO", "frame": "none", "arrangement": "with-ampersand"}, "R & CO"),
        ({"letters": "?W", "symbol": "acorn"}, "(unread) W with an acorn"),
        ({"letters": "A??", "symbol": "anchor"}, "A (2 unread) with an anchor"),
        ({"letters": "BC", "arrangement": "monogram", "frame": "inverted-triangle"},
         "BC as a monogram in a triangle standing on its point"),
        ({"letters": "", "frame": "square"}, "a mark in a square"),
        ({"letters": "B&C", "arrangement": "with-ampersand"}, "B&C"),
    ],
)  # fmt: skip
def test_a_reading_is_named_as_it_stands_on_the_glass(
    ref: Reference, mark: dict[str, str], said: str
) -> None:
    (reading,) = Case.from_dict({"mark": mark}, ref).marks
    assert reading.label == said


def test_a_sign_or_arrangement_told_as_the_frame(ref: Reference) -> None:
    (sign,) = Case.from_dict({"mark": {"letters": "", "frame": "acorn"}}, ref).marks
    assert (sign.symbol, sign.frame) == ("acorn", None)
    (joined,) = Case.from_dict({"mark": {"letters": "TMC", "frame": "stylised monogram"}}, ref).marks
    assert (joined.arrangement, joined.frame) == ("monogram", None)
    assert joined.label == "TMC as a monogram"


def test_an_ampersand_tells_the_arrangement(ref: Reference) -> None:
    (reading,) = Case.from_dict({"mark": {"letters": "R & CO", "frame": "circle"}}, ref).marks
    assert reading.arrangement == "with-ampersand"
    assert reading.label == "R & CO in a circle"


def test_the_surer_of_two_same_readings_stays(ref: Reference) -> None:
    marks = [{"letters": "A", "certainty": "doubtful"}, {"letters": "A", "certainty": "probable"}]
    (reading,) = Case.from_dict({"marks": marks}, ref).marks
    assert reading.certainty == "probable"
