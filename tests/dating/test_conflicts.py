"""Doubts: all minimal groups with their branches, exclusions, soft quarrels."""

from typing import Any

from dating.reasons import minimal_groups, span_words
from dating.years import EVER, span, spans_of

from .conftest import Ask
from .own_rows import OWN


def known(what: str, start: int | None, end: int | None, certainty: str = "certain") -> dict[str, Any]:
    return {"what": what, "from": start, "to": end, "certainty": certainty}


def test_a_pair_and_its_branches(ask: Ask) -> None:
    finding = ask({"known": [known("early shop", 1871, 1889), known("late law", 1926, 1946)]})
    (conflict,) = finding.conflicts
    assert conflict.between == ("Early shop", "Late law")
    assert [(b.without, b.start, b.end) for b in conflict.branches] == [
        ("Early shop", 1926, 1946),
        ("Late law", 1871, 1889),
    ]
    assert conflict.branches[0].words == "if Early shop is misread: 1926–1946"
    assert conflict.why == "no year fits all: Early shop: 1871–1889; Late law: 1926–1946"


def test_code_years_make_a_group_of_three(ask: Ask) -> None:
    finding = ask(
        {
            "mark": {"letters": "BW", "symbol": "wave", "right": "7"},
            "own": OWN,
            "known": [known("opened", 1930, None), known("closed", None, 1936)],
        }
    )
    (conflict,) = finding.conflicts
    assert set(conflict.between) == {"BW wave sign, 7 at the right", "Opened", "Closed"}
    branches = {b.without: b for b in conflict.branches}
    assert branches["Opened"].start == branches["Opened"].end == 1927
    assert branches["Closed"].years == (1937, 1947)
    assert (branches["BW wave sign, 7 at the right"].start, branches["BW wave sign, 7 at the right"].end) == (
        1930,
        1936,
    )


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
    assert {b.without for b in conflict.branches} == {"Machine-made seam", "Tooled finish"}
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
    branches = {b.without: (b.start, b.end) for b in conflict.branches}
    assert branches == {
        "Applied colour label (ACL) (a ghost of it)": (None, 1870),
        "Free-blown": (1931, None),
    }


def test_soft_quarrel(ask: Ask) -> None:
    assert ask({"features": ["applied-finish", "crown-finish"]}).conflicts == ()  # at most 0.11 together
    soft = ask({"features": ["free-blown", "ball-neck-panel"]})
    assert [c.kind for c in soft.conflicts] == ["soft"]
    assert soft.window is None  # 1867 to 1870 holds less than half of the posterior


def test_members_of_one_family_do_not_quarrel_softly(ask: Ask) -> None:
    assert ask({"features": ["machine-seam-over-finish", "ghost-seam"]}).conflicts == ()


def test_beyond_the_year_of_recovery(ask: Ask) -> None:
    finding = ask({"features": ["barcode", "acl"], "recovered": 1960})
    (conflict,) = finding.conflicts
    assert conflict.between == ("UPC bar code", "recovered in 1960")
    assert (conflict.branches[0].start, conflict.branches[0].end) == (1931, None)
    late = ask({"known": [known("from the future", 2100, None)]})
    assert late.conflicts[0].between[1] == "nothing is made after 2026"


def test_two_conflicts_at_once_ask_each_group_alone(ask: Ask) -> None:
    given = [known("a", 1700, 1710), known("b", 1800, 1810), known("c", 1900, 1910)]
    finding = ask({"known": given})
    assert len(finding.conflicts) == 3
    assert [(b.start, b.end) for b in finding.conflicts[0].branches] == [(1800, 1810), (1700, 1710)]


def test_very_many_pieces_are_still_answered(ask: Ask) -> None:
    many = [known(f"paper {n}", 1700 + n, 1700 + n) for n in range(150)]
    finding = ask({"known": many})
    assert finding.words == "the evidence disagrees"
    assert 0 < len(finding.conflicts) <= 60


def test_years_in_words() -> None:
    assert span_words(()) == "no year"
    assert span_words(EVER) == "any year"
    assert span_words(span(None, 1900)) == "to 1900"
    assert span_words(span(1900, None)) == "1900 on"
    assert span_words(span(1900, 1900)) == "1900"
    assert span_words(spans_of([1926, 1936])) == "1926, 1936"
    assert span_words(((1900, 1920), (1950, 1950))) == "1900–1920, 1950"
