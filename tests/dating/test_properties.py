"""What must hold for any bottle: order, certainty, sums, ties, open sides."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dating import Case, Finding, assess, reference

from .own_rows import CODES, MARKS

REF = reference().with_own(MARKS, CODES)
FEATURES = st.sampled_from(sorted(REF.features))
CERTAINTIES = ["certain", "probable", "doubtful"]
few = settings(max_examples=60)


@st.composite
def known(draw: st.DrawFn) -> dict[str, Any]:
    start = draw(st.none() | st.integers(1600, 2020))
    end = draw(st.none() | st.integers(start or 1600, 2026))
    return {"what": draw(st.sampled_from(["shop", "law", "storm"])), "from": start, "to": end}


@st.composite
def reading(draw: st.DrawFn) -> dict[str, Any]:
    mark = draw(st.sampled_from(sorted(REF.marks)))
    return {
        "letters": REF.marks[mark].letters or None,
        "symbol": draw(st.none() | st.just(REF.marks[mark].symbol)),
        "frame": draw(st.none() | st.just(REF.marks[mark].frame)),
        "right": draw(st.none() | st.sampled_from(["", "?", "7", "37", "48", "559"])),
    }


@st.composite
def evidence(draw: st.DrawFn) -> list[tuple[str, dict[str, Any]]]:
    """A few pieces as (kind, item) with their certainties."""
    pieces: list[tuple[str, dict[str, Any]]] = []
    for name in draw(st.lists(FEATURES, max_size=4, unique=True)):
        pieces.append(("features", {"id": name}))
    for item in draw(st.lists(known(), max_size=2)):
        pieces.append(("known", item))
    for item in draw(st.lists(reading(), max_size=1)):
        pieces.append(("marks", item))
    return [(kind, {**item, "certainty": draw(st.sampled_from(CERTAINTIES))}) for kind, item in pieces]


def ask(pieces: list[tuple[str, dict[str, Any]]], **options: Any) -> Finding:
    given: dict[str, Any] = {"this_year": 2026, "features": [], "known": [], "marks": []}
    for kind, item in pieces:
        given[kind].append(item)
    return assess(Case.from_dict(given, REF), REF, **options)


def distance(a: Finding, b: Finding) -> float:
    """Total variation between two answers."""
    return sum(abs(p - q) for p, q in zip(a.posterior, b.posterior, strict=True)) / 2


@few
@given(evidence(), st.randoms(use_true_random=False))
def test_order_never_matters(pieces: list[tuple[str, dict[str, Any]]], random: Any) -> None:
    mixed = pieces[:]
    random.shuffle(mixed)
    assert ask(pieces).as_dict() == ask(mixed).as_dict()


@few
@given(evidence())
def test_sums_sets_and_bits(pieces: list[tuple[str, dict[str, Any]]]) -> None:
    finding = ask(pieces)
    assert sum(finding.posterior) == pytest.approx(1)
    assert min(finding.posterior) > 0
    likely = sum(run.probability for run in finding.likely)
    assert likely >= 0.9 - 1e-9
    inside = [finding.posterior[y - 1600] for run in finding.likely for y in range(run.start, run.end + 1)]
    outside = sorted(finding.posterior, reverse=True)[len(inside) :]
    if outside:  # a level set with every tie in it
        assert max(outside) < min(inside)
    assert all(reason.bits >= 0 for reason in finding.because)
    assert sum(run.probability for run in finding.half) >= 0.5 - 1e-9
    if finding.marks:
        assert sum(mark.probability for mark in finding.marks) == pytest.approx(1)


def marks_bounds(finding: Finding) -> list[tuple[tuple[int, int], ...]]:
    """The years to which the marks that lead hold each reading."""
    return sorted(piece.support for piece in finding.pieces if piece.reading)


def left_out(finding: Finding) -> list[bool]:
    """Which pieces the window does not rest on, as all of them would leave too little (test_belief.py)."""
    return [piece.left_out for piece in finding.pieces]


@few
@given(evidence(), st.data())
def test_more_certain_never_widens_unless_it_makes_a_conflict(
    pieces: list[tuple[str, dict[str, Any]]], data: st.DataObject
) -> None:
    if not pieces:
        return
    n = data.draw(st.integers(0, len(pieces) - 1))
    surer = [(k, {**i, "certainty": "certain"}) if m == n else (k, i) for m, (k, i) in enumerate(pieces)]
    before, after = ask(pieces, reasons=False), ask(surer, reasons=False)
    if before.words == "the evidence disagrees":
        assert after.words == before.words
        return
    if after.words == "the evidence disagrees" or before.window is None:
        return
    if after.window is None:  # the narrower window holds too little to be stated (test_belief.py)
        return
    if marks_bounds(before) != marks_bounds(after):  # by the years another mark leads (test_belief.py)
        return
    if left_out(before) != left_out(after):  # all together would hold too little: it rests on fewer
        return
    low, high = before.window
    assert low is None or (after.window.start is not None and after.window.start >= low)
    assert high is None or (after.window.end is not None and after.window.end <= high)


@few
@given(evidence(), FEATURES)
def test_a_doubtful_piece_moves_the_odds_less_than_a_certain_one(
    pieces: list[tuple[str, dict[str, Any]]], name: str
) -> None:
    rest = [(kind, item) for kind, item in pieces if item.get("id") != name]
    without = ask(rest, reasons=False)
    moved = [
        distance(ask([*rest, ("features", {"id": name, "certainty": c})], reasons=False), without)
        for c in ("doubtful", "probable", "certain")
    ]
    assert moved == pytest.approx(sorted(moved), abs=1e-12)


@few
@given(evidence())
def test_a_side_that_nothing_bounds_is_open(pieces: list[tuple[str, dict[str, Any]]]) -> None:
    finding = ask(pieces)
    bounding = [r for r, p in zip(finding.lanes, finding.pieces, strict=True) if p.bounds]
    if finding.words == "the evidence disagrees":
        return
    starts = [lane.start for lane in bounding if lane.start is not None]
    ends = [lane.end for lane in bounding if lane.end is not None]
    if finding.window is None:  # or it holds too little to be stated (test_belief.py)
        assert finding.edtf is None
        return
    low, high = finding.window
    assert (low is None) == (not starts)
    assert (high is None) == (not ends)


@settings(max_examples=200)
@given(st.text(max_size=12), st.sampled_from(["letters", "right", "left"]))
def test_any_text_is_answered_or_refused(text: str, key: str) -> None:
    case = Case.from_dict({"mark": {"letters": "A", key: text}, "this_year": 2026}, REF)
    assert sum(assess(case, REF, reasons=False).posterior) == pytest.approx(1)
