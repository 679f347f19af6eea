"""Which scheme is in force, and what the characters beside the mark do to the years."""

from typing import Any

import pytest

from dating import Case, FeatureSeen, Known, MarkReading, Reference
from dating.schemes import effect, fit
from dating.years import axis_to

from .conftest import Ask
from .own_rows import CODES, MARKS, OWN


def effect_of(ref: Reference, mark_id: str, reading: dict[str, Any], **more: Any) -> Any:
    case = Case.from_dict({"mark": {"letters": "BW", **reading}, "this_year": 2026, **more}, ref)
    return effect(ref.marks[mark_id], case.marks[0], case, ref, axis_to(2026))


@pytest.fixture(scope="module")
def own(ref: Reference) -> Reference:
    return ref.with_own(MARKS, CODES)


def test_code_years_and_mould_numbers(own: Reference) -> None:
    found = effect_of(own, "bw-wave", {"right": "7"})
    assert found.years == (1927, 1937, 1947)
    assert {more for _, more in found.more} == {0.97}
    assert found.everywhere == pytest.approx(0.03 * 0.1)


def test_no_scheme_means_a_mould_number(own: Reference) -> None:
    assert effect_of(own, "ofg", {"right": "559"}).everywhere == pytest.approx(1e-3)
    assert effect_of(own, "ofg", {"right": "559", "left": "2"}).everywhere == pytest.approx(1e-4)


def test_not_looked_and_unreadable_say_nothing(own: Reference) -> None:
    assert effect_of(own, "bw-wave", {}).everywhere == 1
    there = effect_of(own, "bw-wave", {"right": "?"})
    assert (there.everywhere, there.more, there.absent_in) == (1, (), ())


def test_looked_for_and_absent(own: Reference) -> None:
    found = effect_of(own, "bw-wave", {"right": ""})
    assert found.absent_in == ((1925, 1954),)
    assert effect_of(own, "ofg", {"right": ""}).absent_in == ()
    assert effect_of(own, "bw-wave", {"left": ""}).absent_in == ()  # the code stands at the right


def test_an_absent_code_makes_its_mark_less_likely(ask: Ask) -> None:
    def probability(right: str | None) -> float:
        return ask({"mark": {"letters": "TH", "right": right}, "own": OWN}).marks[0].probability

    assert probability("") < probability(None)


def test_absence_through_the_whole_life_of_a_mark_keeps_its_soft_ends(ref: Reference) -> None:
    found = effect_of(ref, "liberty-lg", {"right": ""})
    assert found.absent_in == ((-1_000_000, 1_000_000),)


def test_the_most_specific_scheme_that_fits(own: Reference) -> None:
    bottler = {"bottler": "gannet mineral waters"}
    assert effect_of(own, "bw-wave", {"right": "37"}, **bottler).years == (1937,)
    assert effect_of(own, "bw-wave", {"right": "7"}, **bottler).years == ()
    assert effect_of(own, "bw-wave", {"right": "7"}, bottler="Another").years == (1927, 1937, 1947)
    assert effect_of(own, "bw-wave", {"right": "37"}, bottler="Another").years == ()


def test_a_scheme_of_an_unknown_bottler_serves_where_no_other_reads_it(own: Reference) -> None:
    assert effect_of(own, "bw-wave", {"right": "37"}).years == (1937,)
    assert effect_of(own, "bw-wave", {"right": "7"}).years == (1927, 1937, 1947)


def test_rules_of_a_class_hold_only_for_the_class(ref: Reference) -> None:
    federal: dict[str, Any] = {"contents": "liquor", "features": ["federal-law-forbids"]}
    assert effect_of(ref, "brockway-b-circle", {"right": "38"}, **federal).years == ()
    assert effect_of(ref, "brockway-b-circle", {"right": "48"}, **federal).years == (1948,)
    assert effect_of(ref, "brockway-b-circle", {"right": "48"}).years == ()
    assert effect_of(ref, "united-glass-ugb", {"right": "48"}, **federal).years == ()
    assert effect_of(ref, "liberty-lg", {"right": "69"}, contents="liquor").years == (1969,)


@pytest.mark.parametrize(
    ("given", "years"),
    [
        ({}, ()),
        ({"known": (Known("distiller", 1932, 1950),)}, ()),
        ({"known": (Known("distiller", 1933, 1950),)}, (1948,)),
        ({"known": (Known("distiller", 1933, 1950, "doubtful"),)}, ()),
        ({"features": (FeatureSeen("tooled-finish"),)}, ()),
        ({"features": (FeatureSeen("federal-law-forbids"),)}, (1948,)),
        ({"features": (FeatureSeen("federal-law-forbids", "doubtful"),)}, ()),
        ({"features": (FeatureSeen("liquor-permit-number"),)}, (1948,)),
        ({"features": (FeatureSeen("roll-on-pilferproof"),)}, (1948,)),
    ],
)
def test_the_liquor_rule_needs_its_wording_or_a_date_of_its_years(
    ref: Reference, given: dict[str, Any], years: tuple[int, ...]
) -> None:
    case = Case(contents="liquor", this_year=2026, **given)
    reading = MarkReading(letters="B", right="48")
    found = effect(ref.marks["brockway-b-circle"], reading, case, ref, axis_to(2026))
    assert found.years == years
    later = [
        m
        for m in ref.marks.values()
        if m.country == "US" and (m.used_from or 0) >= 1933 and m.id not in ref.codes_of
    ]
    assert later and all(effect(m, reading, case, ref, axis_to(2026)).years == (1948,) for m in later)


def test_a_number_that_is_never_a_year_stays_one(ref: Reference) -> None:
    found = effect_of(ref, "lamb-l52", {"right": "52"}, contents="liquor")
    assert found.years == ()
    assert found.everywhere == pytest.approx(0.01)


def test_place_on_the_bottle(ref: Reference) -> None:
    assert effect_of(ref, "root-dated", {"right": "17", "at": "heel"}).years == (1917,)
    assert effect_of(ref, "root-dated", {"right": "17"}).years == (1917,)
    assert effect_of(ref, "root-dated", {"right": "17", "at": "base"}).years == ()


def test_code_in_one_of_two_places(ref: Reference) -> None:
    found = effect_of(ref, "glenshaw-g-square", {"above": "Y", "below": "53"})
    assert found.years == (1953,)
    assert found.more[0][1] == pytest.approx(0.97 * (0.01 + 0.1) / 2)


def test_month_at_the_left_and_year_at_the_right(ref: Reference) -> None:
    row = {**CODES[1], "id": "bw-month", "kind": "month-year", "position": "any"}
    joined = ref.with_own(MARKS, [row])
    assert effect_of(joined, "bw-wave", {"left": "12", "right": "34"}).years == (1934,)


def test_fit_is_yes_no_or_unknown(own: Reference) -> None:
    bound = own.date_codes["bw-two"]
    assert fit(bound, Case(bottler="Gannet Mineral Waters"), None) is True
    assert fit(bound, Case(bottler="Other"), None) is False
    assert fit(bound, Case(), None) is None


def test_a_code_gives_candidate_years(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "BW", "symbol": "wave", "right": "7"}, "own": OWN})
    assert finding.years == (1927, 1937, 1947)
    assert finding.words == "one of 1927, 1937, 1947"
    assert (finding.peak_words, finding.edtf, finding.age) == ("", "[1927,1937,1947]", (79, 99))
    assert finding.age_words == "79, 89 or 99 years old"
    assert [run.start for run in finding.likely] == [1927, 1937, 1947]


def test_other_evidence_picks_among_the_candidates(ask: Ask) -> None:
    finding = ask(
        {"mark": {"letters": "BW", "symbol": "wave", "right": "7"}, "own": OWN, "features": ["acl"]}
    )
    assert (finding.years, finding.window) == ((1937, 1947), (1937, 1947))


def test_a_mould_number_is_said_to_be_one(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "BW", "symbol": "wave", "right": "559"}, "own": OWN})
    assert finding.window == (1921, 1955)
    assert "559 is no year of this maker: a mould or catalogue number" in finding.because[0].detail
    plain = ask({"mark": {"letters": "OFG", "right": "12"}, "own": OWN})
    assert "12 does not date" in plain.because[0].detail


def test_works_are_named(ask: Ask) -> None:
    codes = [{**CODES[1], "id": "bw-works", "kind": "works-table", "table": "3=Marrowby,1926-1935"}]
    finding = ask(
        {
            "mark": {"letters": "BW", "symbol": "wave", "right": "3"},
            "own": {"marks": MARKS, "date_codes": codes},
        }
    )
    assert finding.marks[0].works == ("Marrowby",)
    assert finding.as_dict()["marks"][0]["works"] == ["Marrowby"]  # type: ignore[index]
    assert finding.window == (1926, 1935)
