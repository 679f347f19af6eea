"""What must hold whatever was read: order, said twice, agreement, sides outside their region, slips."""

from itertools import combinations
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from dating import Case, Finding, assess, reference
from dating.assess import pieces_of
from dating.conflicts import corrections
from dating.evidence import Piece
from dating.places import world_wide
from dating.window import allowed

REF = reference()
SURE = st.sampled_from(["certain", "probable", "doubtful"])
REGIONS = st.sampled_from([None, None, "US", "UK", "DE", "FR", "AU", "SE", "JP", "BR"])
some = settings(max_examples=150, deadline=None)


@st.composite
def mark(draw: st.DrawFn) -> dict[str, Any]:
    """A mark of the tables, worn, with or without a code beside it."""
    letters = list(REF.marks[draw(st.sampled_from(sorted(REF.marks)))].letters)
    for at in draw(st.lists(st.integers(0, 30), max_size=2)):
        letters[at : at + 1] = [draw(st.sampled_from(["?", "[..]", "A", ""]))]
    side = draw(st.sampled_from(["left", "right", "below"]))
    code = draw(st.sampled_from([None, "", "?", "4", "37", "48"]))
    return {"letters": "".join(letters) or "?", side: code, "certainty": draw(SURE)}


@st.composite
def known(draw: st.DrawFn) -> dict[str, Any]:
    start = draw(st.integers(1700, 2000))
    end = draw(st.none() | st.integers(start, 2026))
    return {"what": draw(st.sampled_from(["shop", "law"])), "from": start, "to": end, "certainty": draw(SURE)}


FEATURE = st.fixed_dictionaries({"id": st.sampled_from(sorted(REF.features)), "certainty": SURE})
CASES = st.fixed_dictionaries(
    {
        "features": st.lists(FEATURE, max_size=4),
        "marks": st.lists(mark(), max_size=3),
        "known": st.lists(known(), max_size=2),
        "region": REGIONS,
    }
)
LISTS = ("features", "marks", "known")


def read(given: dict[str, Any]) -> Case:
    return Case.from_dict({"this_year": 2026, **given}, REF)


def ask(given: dict[str, Any]) -> Finding:
    return assess(read(given), REF)


def shape(answer: dict[str, Any]) -> dict[str, Any]:
    """The answer without the numbers of readings, which follow the order in which they were given."""
    marks = [{key: value for key, value in one.items() if key != "reading"} for one in answer["marks"]]
    loose = {"marks": marks, "misplaced": answer["misplaced"], "copies": answer["copies"]}
    return {**answer, **{key: sorted(map(str, value)) for key, value in loose.items()}}


@some
@given(CASES, st.randoms(use_true_random=False))
def test_the_order_of_several_readings_never_matters(given: dict[str, Any], chance: Any) -> None:
    mixed = {**given, **{key: chance.sample(given[key], len(given[key])) for key in LISTS}}
    assert shape(ask(given).as_dict()) == shape(ask(mixed).as_dict())


@some
@given(CASES)
def test_what_is_said_twice_counts_once(given: dict[str, Any]) -> None:
    once, twice = ask(given), ask({**given, **{key: given[key] * 2 for key in LISTS}})
    assert (once.posterior, once.words, once.because) == (twice.posterior, twice.words, twice.because)


@some
@given(CASES, st.tuples(st.just("features"), FEATURE) | st.tuples(st.just("known"), known()))
def test_agreeing_evidence_never_widens(given: dict[str, Any], more: tuple[str, dict[str, Any]]) -> None:
    """Save where by the years other marks lead, or the window then rests on fewer pieces (test_belief.py)."""
    before, after = ask(given), ask({**given, more[0]: [*given[more[0]], more[1]]})
    if not before.window or not after.window or before.conflicts or after.conflicts:
        return
    leads = [sorted(p.support for p in found.pieces if p.reading) for found in (before, after)]
    if leads[0] != leads[1] or any(piece.left_out for piece in after.pieces):
        return
    low, high = before.window
    assert low is None or (after.window.start or 0) >= low
    assert high is None or (after.window.end or 9999) <= high


@some
@given(CASES)
def test_outside_its_region_only_a_world_wide_limit_cuts(given: dict[str, Any]) -> None:
    for piece in ask(given).pieces:
        if piece.kind != "feature" or piece.copies:
            continue
        feature = REF.features[piece.key]
        if not REF.places.region_fits(feature.group, feature.region, given["region"]):
            assert piece.support == world_wide(feature)


def can_all_be_right(pieces: list[Piece], finding: Finding) -> bool:
    if not allowed(pieces, finding.span):
        return False
    features = [piece.key for piece in pieces if piece.kind == "feature"]
    return not any(frozenset(pair) in REF.excluded for pair in combinations(features, 2))


@some
@given(CASES)
def test_slips_are_all_smallest_sets_that_leave_years(given: dict[str, Any]) -> None:
    """Minimal and complete, beside trying every set of pieces; pairs that rule each other out among them."""
    finding = ask(given)
    pieces = pieces_of(read(given), finding.span, REF)
    numbers = range(len(pieces))
    leaving = [
        frozenset(wrong)
        for size in range(len(pieces) + 1)
        for wrong in combinations(numbers, size)
        if can_all_be_right([piece for n, piece in enumerate(pieces) if n not in wrong], finding)
    ]
    smallest = [one for one in leaving if one and not any(other < one for other in leaving)]
    expected = sorted(sorted({pieces[n].label for n in one}) for one in smallest)
    assert sorted(sorted(one.without) for one in corrections(pieces, finding.span, REF)) == expected
