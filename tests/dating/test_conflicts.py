"""Doubts: all minimal groups, the minimal corrections, exclusions, soft quarrels."""

from itertools import combinations
from typing import Any

from hypothesis import given as hypothetical
from hypothesis import strategies as st

from dating import Finding
from dating.conflicts import _against, _minimal, minimal_groups
from dating.window import span_words
from dating.years import EVER, Spans, axis_to, meet_all, span, spans_of

from .conftest import Ask
from .own_rows import OWN


def known(what: str, start: int | None, end: int | None, certainty: str = "certain") -> dict[str, Any]:
    return {"what": what, "from": start, "to": end, "certainty": certainty}


def slips(finding: Finding) -> dict[tuple[str, ...], tuple[int | None, int | None]]:
    return {one.without: (one.start, one.end) for one in finding.corrections}


def test_a_pair_and_what_each_slip_leaves(ask: Ask) -> None:
    finding = ask({"known": [known("early shop", 1871, 1889), known("late law", 1926, 1946)]})
    (conflict,) = finding.conflicts
    assert conflict.between == ("Early shop", "Late law")
    assert slips(finding) == {("Early shop",): (1926, 1946), ("Late law",): (1871, 1889)}
    assert finding.corrected == "Either Early shop is misread: 1926–1946; or Late law is misread: 1871–1889."
    assert conflict.why == "1871–1889 and 1926–1946: no year fits both"


def test_code_years_make_a_group_of_three(ask: Ask) -> None:
    finding = ask(
        {
            "mark": {"letters": "BW", "symbol": "wave", "right": "7"},
            "own": OWN,
            "known": [known("opened", 1930, None), known("closed", None, 1936)],
        }
    )
    (conflict,) = finding.conflicts
    assert set(conflict.between) == {"BW over a wave, 7 at the right", "Opened", "Closed"}
    left = {one.without: one for one in finding.corrections}
    assert left[("Opened",)].start == left[("Opened",)].end == 1927
    assert left[("Closed",)].years == (1937, 1947)
    mark = left[("BW over a wave, 7 at the right",)]
    assert (mark.start, mark.end, mark.years) == (1930, 1936, None)


def test_three_against_one_are_one_statement(ask: Ask) -> None:
    """Finish, pontil and making against one mark: not three boxes that each claim a false branch."""
    finding = ask(
        {
            "mark": {"letters": "LG", "right": "69"},
            "features": ["applied-finish", "blowpipe-pontil", "free-blown"],
        }
    )
    assert len(finding.conflicts) == 3
    assert finding.corrected == (
        "Either LG, 69 at the right is misread: 1820–1870; "
        "or Applied finish, Blowpipe (open, ring) pontil and Free-blown all are misread: 1969."
    )


SPANS = st.lists(
    st.tuples(st.integers(1850, 1890), st.integers(0, 12)).map(lambda pair: (pair[0], pair[0] + pair[1])),
    min_size=1,
    max_size=3,
).map(lambda parts: spans_of(year for low, high in parts for year in range(low, high + 1)))


@hypothetical(st.lists(SPANS, min_size=1, max_size=6))
def test_corrections_are_those_of_trying_every_set(supports: list[Spans]) -> None:
    numbers = range(len(supports))
    leaving = [
        frozenset(some)
        for size in range(len(supports) + 1)
        for some in combinations(numbers, size)
        if meet_all(supports[n] for n in numbers if n not in some)
    ]
    smallest = {one for one in leaving if not any(other < one for other in leaving)}
    assert set(_minimal(_against(supports, axis_to(2026)))) == smallest


def test_all_minimal_groups_and_no_larger_ones() -> None:
    sets = [span(1900, 1910), span(1920, 1930), span(1905, 1925), spans_of([1907, 1923])]
    assert minimal_groups(sets) == [(0, 1)]
    assert minimal_groups([span(1900, 1910), span(1920, 1930), span(1940, 1950)]) == [(0, 1), (0, 2), (1, 2)]
    assert minimal_groups(
        [spans_of([1926, 1936, 1946]), span(1930, None), span(None, 1940), span(1937, 1941)]
    ) == [(0, 3)]
    assert minimal_groups([EVER, span(1900, None)]) == []


def test_exclusions_name_both_and_what_each_would_mean(ask: Ask) -> None:
    finding = ask({"features": ["machine-seam-over-finish", "tooled-finish"]})
    (conflict,) = finding.conflicts
    assert conflict.kind == "excluded"
    assert conflict.why == "Tooling erases the seam"
    assert slips(finding) == {("Machine-made seam",): (1870, 1925), ("Tooled finish",): (1893, None)}
    assert finding.window == (1893, 1925)  # a doubt and a message, never a veto


def test_an_excluded_pair_whose_dates_are_apart_is_told_once(ask: Ask) -> None:
    finding = ask({"features": ["acl", "blowpipe-pontil"]})
    assert [c.kind for c in finding.conflicts] == ["excluded"]
    assert finding.words == "the evidence disagrees"


def test_a_doubtful_ghost_of_a_label_still_raises_its_doubt(ask: Ask) -> None:
    ghost = {"id": "acl", "certainty": "doubtful", "note": "a ghost of it"}
    finding = ask({"features": [ghost, "free-blown"]})
    (conflict,) = finding.conflicts
    assert "was a doubtful look" in conflict.why
    assert finding.window == (None, 1870)
    assert slips(finding) == {
        ("Applied colour label (ACL) (a ghost of it)",): (None, 1870),
        ("Free-blown",): (1931, None),
    }


def test_soft_quarrel(ask: Ask) -> None:
    assert ask({"features": ["applied-finish", "crown-finish"]}).conflicts == ()  # at most 0.11 together
    soft = ask({"features": ["free-blown", "ball-neck-panel"]})
    assert [c.kind for c in soft.conflicts] == ["soft"]
    assert (soft.corrections, soft.corrected) == ((), "")
    assert soft.words == "probably before 1871"  # 1867 to 1870 holds less than half of the posterior


def test_members_of_one_family_do_not_quarrel_softly(ask: Ask) -> None:
    assert ask({"features": ["machine-seam-over-finish", "ghost-seam"]}).conflicts == ()


def test_beyond_the_year_of_recovery(ask: Ask) -> None:
    finding = ask({"features": ["barcode", "acl"], "recovered": 1960})
    (conflict,) = finding.conflicts
    assert conflict.between == ("UPC bar code", "recovered in 1960")
    assert slips(finding) == {("UPC bar code",): (1931, None)}
    assert finding.corrected == "UPC bar code is misread: 1931 on."
    late = ask({"features": ["barcode"], "this_year": 1950})
    assert late.conflicts[0].between[1] == "nothing is made after 1950"


def test_where_three_clash_two_must_go(ask: Ask) -> None:
    given = [known("a", 1700, 1710), known("b", 1800, 1810), known("c", 1900, 1910)]
    finding = ask({"known": given})
    assert len(finding.conflicts) == 3
    assert slips(finding) == {("A", "B"): (1900, 1910), ("A", "C"): (1800, 1810), ("B", "C"): (1700, 1710)}


def test_very_many_pieces_are_still_answered(ask: Ask) -> None:
    many = [known(f"paper {n}", 1700 + n, 1700 + n) for n in range(150)]
    finding = ask({"known": many})
    assert finding.words == "the evidence disagrees"
    assert 0 < len(finding.conflicts) <= 60
    assert finding.corrected.endswith("or 144 other ways of more slips.")


def test_years_in_words() -> None:
    assert span_words(()) == "no year"
    assert span_words(EVER) == "any year"
    assert span_words(span(None, 1900)) == "to 1900"
    assert span_words(span(1900, None)) == "1900 on"
    assert span_words(span(1900, 1900)) == "1900"
    assert span_words(spans_of([1926, 1936])) == "1926, 1936"
    assert span_words(((1900, 1920), (1950, 1950))) == "1900–1920, 1950"
