"""The headline follows the belief: no window is stated that the posterior does not hold."""

import random
import re
import string
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dating import Case, Finding, assess, reference
from dating.ranking import NOT_TABLED
from dating.reasons import LEFT_OUT_OF_WINDOW
from dating.window import bounds, held

REF = reference()
LETTERS = string.ascii_uppercase


def ask(marks: list[dict[str, Any]], **given: Any) -> Finding:
    return assess(Case.from_dict({"marks": marks, "this_year": 2026, **given}, REF), REF, reasons=False)


def in_headline(finding: Finding) -> float:
    """The share of the posterior in the years that the words name, summed year by year."""
    assert finding.window is not None
    low, high = finding.window
    named = finding.years or range(low or finding.axis[0], (high or finding.axis[1]) + 1)
    return sum(p for year, p in enumerate(finding.posterior, finding.axis[0]) if year in named)


def untabled(finding: Finding) -> float:
    return sum(mark.probability for mark in finding.marks if mark.maker == NOT_TABLED)


@st.composite
def worn(draw: st.DrawFn) -> dict[str, Any]:
    """A tabled mark with letters worn, lost or under a gap, or letters at random; with or without a code."""
    mark = REF.marks[draw(st.sampled_from(sorted(REF.marks)))]
    letters = mark.letters if draw(st.booleans()) else draw(st.text(LETTERS + "?", min_size=1, max_size=5))
    for at in draw(st.lists(st.integers(0, 30), max_size=3)):
        wear = draw(st.sampled_from(["?", "", "[..]", *LETTERS[:6]]))
        letters = letters[:at] + wear + letters[at + 1 :]
    code = draw(st.none() | st.sampled_from(["", "?", "4", "7", "37", "48", "559"]))
    sure = draw(st.sampled_from(["certain", "probable", "doubtful"]))
    return {"letters": letters[:40] or "?", "right": code, "certainty": sure}


@settings(max_examples=2000, deadline=None)
@given(st.lists(worn(), min_size=1, max_size=2), st.lists(st.sampled_from(sorted(REF.features)), max_size=3))
def test_no_headline_says_more_than_the_posterior(marks: list[dict[str, Any]], features: list[str]) -> None:
    finding = ask(marks, features=features)
    if finding.window is None:
        assert finding.edtf is None and finding.age is None
        return
    share = in_headline(finding)
    assert share >= 0.5 - 1e-9
    if share < 0.8 - 1e-9:
        assert finding.words.startswith("probably ") and "?" in (finding.edtf or "")


def test_a_mark_likelier_in_no_table_bounds_nothing_and_says_so() -> None:
    finding = ask([{"letters": "LBC", "right": "4"}])
    assert untabled(finding) > 0.5
    assert finding.window is None and finding.best is None
    assert finding.words.startswith("not dated by this mark; if it is "), finding.words


@settings(max_examples=300, deadline=None)
@given(worn())
def test_the_maker_that_is_named_is_the_likeliest_one_of_the_shares(mark: dict[str, Any]) -> None:
    """Marks of one maker count together, on the page as in the phrase."""
    finding = ask([mark])
    named = re.match(r"not dated by this mark; if it is (.+): [\d–]+$", finding.words)
    if not named:
        return
    by_maker: dict[str, float] = {}
    for share in finding.marks:
        if share.id:
            by_maker[share.maker] = by_maker.get(share.maker, 0.0) + share.probability
    likeliest = max(by_maker, key=by_maker.__getitem__)
    most = by_maker[likeliest]
    assert named[1] == likeliest[:120] or by_maker[named[1]] == pytest.approx(most, rel=1e-6)


def test_two_marks_of_one_maker_outweigh_a_likelier_one_of_another() -> None:
    finding = ask([{"letters": "LBC", "right": "4", "at": "base"}])
    assert finding.words == "not dated by this mark; if it is Lynchburg Glass Works: 1919–1922"


def test_no_best_year_without_a_window() -> None:
    finding = ask([], features=[{"id": "crown-finish", "certainty": "doubtful"}])
    assert (finding.words, finding.best) == ("not yet dated", None)


@pytest.mark.parametrize("size", [2, 3, 4])
def test_letters_at_random_date_nothing_that_the_tables_do_not_hold(size: int) -> None:
    chance = random.Random(size)
    for _ in range(100):
        finding = ask([{"letters": "".join(chance.choices(LETTERS, k=size))}])
        if finding.window is not None:
            assert untabled(finding) <= 0.5
            assert in_headline(finding) >= 0.5


def test_evidence_that_disagrees_stays_said_where_it_makes_a_mark_unlikely() -> None:
    marks = [{"letters": "ROOT"}, {"letters": "LG", "right": "69"}]
    assert ask(marks).words == "the evidence disagrees"


def test_where_all_together_hold_too_little_the_window_rests_on_fewer() -> None:
    """Club sauce finish (1840–1955) and D.B.G.M. (1949 on): 1949 to 1955 holds an eighth of the posterior."""
    features = [{"id": name, "certainty": "probable"} for name in ("club-sauce-finish", "dbgm-de")]
    finding = assess(Case.from_dict({"features": features, "this_year": 2026}, REF), REF)
    assert finding.conflicts == ()
    assert finding.words == "probably about 1840 to 1955"
    assert in_headline(finding) >= 0.5
    left_out = [piece.label for piece in finding.pieces if piece.left_out]
    (reason,) = [reason for reason in finding.because if reason.cut == LEFT_OUT_OF_WINDOW]
    assert left_out == [reason.evidence] and (reason.start, reason.end) == (1949, None)


def test_more_than_one_piece_may_be_left_out() -> None:
    names = ("advert-milk-uk", "plate-mould-druggist", "suction-scar-jar-rx", "plate-mould-soda")
    finding = ask([], features=[{"id": name, "certainty": "probable"} for name in names])
    assert sum(piece.left_out for piece in finding.pieces) > 1
    assert finding.words == "probably about 1867 to 1920" and in_headline(finding) >= 0.5


def test_where_no_fewer_pieces_hold_enough_nothing_is_stated() -> None:
    """One probable look alone bounds the years, and three doubtful ones speak against it."""
    looks = [
        ("shop", 1900, 1901, "probable"),
        *((f"paper {n}", 1700, 1888 + n, "doubtful") for n in range(3)),
    ]
    known = [{"what": what, "from": a, "to": b, "certainty": sure} for what, a, b, sure in looks]
    finding = ask([], known=known)
    assert (finding.window, finding.words) == (None, "not yet dated")
    assert not any(piece.left_out for piece in finding.pieces)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(sorted(REF.features)), min_size=2, max_size=4, unique=True))
def test_what_rests_on_fewer_pieces_leaves_out_none_in_vain(features: list[str]) -> None:
    """Each piece that was left out, put back in, leaves less than half; and such years are only probable."""
    finding = ask([], features=features)
    left_out = [piece for piece in finding.pieces if piece.left_out]
    if not left_out:
        return
    assert finding.words.startswith("probably ")
    everything = [replace(piece, left_out=False) for piece in finding.pieces]
    whole = bounds(everything, finding.span)
    assert held(whole, finding.posterior, finding.span) < 0.5
    for one in left_out if len(left_out) < 3 else ():
        back = [replace(p, left_out=False) if p is one else p for p in finding.pieces]
        assert held(bounds(back, finding.span), finding.posterior, finding.span) < 0.5


def test_a_mark_of_unknown_years_is_not_named_with_years() -> None:
    """QX of QXZ: likelier in no table, and the owner's mark that it may be was given no years."""
    mark = {"id": "own-1", "letters": "QXZ", "frame": "none", "maker": "Umber Works"}
    ref = REF.with_own([{**mark, "used_from": None, "used_to": None}])
    finding = assess(Case.from_dict({"marks": [{"letters": "QX"}]}, ref), ref)
    assert untabled(finding) > 0.5
    assert finding.marks[0].maker == "Umber Works"
    assert finding.words == "not yet dated"
