"""Small things that only rarely happen, each of which must still be right."""

import pytest

from dating import Reference, assess
from dating.belief import together
from dating.case import Case
from dating.codes import years_allowed

from .conftest import Ask


def test_a_remark_in_the_table_of_a_digit_scheme_is_no_table(ref: Reference) -> None:
    row = {
        "id": "x",
        "mark_ids": "root-dated",
        "kind": "last-two-digits",
        "table": "see the list",
        "valid_from": 1910,
    }
    code = ref.with_own([], [row]).date_codes["x"]
    assert years_allowed(code, "17", 1600, 2026) == (1917, 2017)


def test_results_can_be_forgotten(ref: Reference) -> None:
    fresh = ref.with_own()
    case = Case.from_dict({"mark": {"letters": "LG"}, "this_year": 2026}, fresh)
    before = assess(case, fresh).as_dict()
    fresh.forget()
    assert assess(case, fresh).as_dict() == before


def test_a_replaced_prior(ref: Reference) -> None:
    case = Case.from_dict({"features": ["acl"], "this_year": 2026}, ref)
    finding = assess(case, ref, prior=((1600, 1929, 0.5, 1.0), (1930, 2026, 0.5, 1.0)))
    assert finding.posterior[1936 - 1600] == pytest.approx(finding.posterior[1950 - 1600])


def test_a_family_whose_shapes_lie_beyond_the_axis(ask: Ask) -> None:
    finding = ask({"features": ["zip-code", "state-abbrev-two-letter"], "recovered": 1950})
    assert together(finding.pieces, finding.span) == pytest.approx([1.0] * len(finding.posterior))
    assert len(finding.conflicts) == 2


def test_a_mark_used_only_after_the_recovery(ref: Reference) -> None:
    own = {"marks": [{"id": "n", "letters": "NEWMARK", "maker": "Quarl", "used_from": 2010, "used_to": 2020}]}
    given = {
        "mark": {"letters": "NEWMARK"},
        "maker": "Quarl",
        "own": own,
        "recovered": 1990,
        "this_year": 2026,
    }
    finding = assess(Case.from_dict(given, ref), ref)
    assert finding.words == "the evidence disagrees"
    assert finding.marks[0].id == "n"
