"""Marks and years as one factor, checked against the sum written out plainly."""

import math
from typing import Any

import pytest

from dating import Case, Reference, assess
from dating.case import MarkReading
from dating.edit_distance import chance, pattern, turned
from dating.markfactor import mark_factor
from dating.misreading import part_chance, unknown_chance
from dating.tables import Mark
from dating.years import axis_to

from .conftest import Ask
from .own_rows import CODES, MARKS, OWN

READINGS: list[dict[str, Any]] = [
    {"letters": "LG", "right": "69"},
    {"letters": "BW", "symbol": "wave", "right": "7"},
    {"letters": "TH", "frame": "hexagon", "right": ""},
    {"letters": "ROOT", "right": "559"},
    {"letters": "A"},
    {"letters": "B", "frame": "circle", "right": "?"},
]


def hand(mark: Mark) -> str:
    """The maker; marks that are not identified are each a maker of their own."""
    return mark.id if mark.maker.startswith(("unidentified", "not identified")) else mark.maker


def plain_chance(reading: MarkReading, mark: Mark) -> float:
    """P(reading | mark) by the rule: the letters upright or turned over, times frame and sign."""
    places = pattern(reading.letters or "")
    letters = chance(places, mark.letters)
    if len(mark.letters) <= len(places):
        letters = max([letters, *(0.02 * chance(other, mark.letters) for other in turned(places))])
    parts = part_chance(reading.symbol, mark.symbol, "") * part_chance(reading.frame, mark.frame, "none")
    return letters * parts


def plain_sum(given: dict[str, Any], ref: Reference) -> list[float]:
    """F(y) by the rule, every mark and every year in turn, scaled to its highest."""
    case = Case.from_dict({"mark": given, "this_year": 2026}, ref)
    axis = axis_to(2026)
    (reading,) = case.marks
    found = {c.mark.id: c for c in mark_factor(reading, case, axis, ref).candidates if c.mark}
    digits = sum(c.isalnum() for slot in reading.slots.values() for c in slot or "")
    hands = {m.id: hand(m) for m in ref.marks.values()}
    common = {"few": 0.05, "some": 1, "many": 2, "own": 4}
    counts = {m.id: common[m.common.commonness] for m in ref.marks.values()}
    variants = {one: [counts[name] for name, each in hands.items() if each == one] for one in hands.values()}
    # what few bottles bear comes on top
    whole = sum(max(each) for each in variants.values() if max(each) > 0.05)
    chances = {m.id: plain_chance(reading, m) for m in ref.marks.values()}
    values = []
    for year in axis.years:
        total = 0.2 * unknown_chance(reading, ref) * 10.0**-digits
        for mark in ref.marks.values():
            maker = variants[hands[mark.id]]
            others = [count for count in maker if count > 0.05] or maker
            part = 0.8 * max(maker) / whole * counts[mark.id] / sum(others)
            part *= chances[mark.id] * ref.shapes[mark.id].at(year)
            effect = found[mark.id].effect if mark.id in found else None
            characters = 10.0**-digits
            if effect and effect.codes and digits:
                characters = 0.03 * 10.0**-digits + 0.97 * (year in effect.years)
            if effect and any(low <= year <= high for low, high in effect.absent_in):
                characters = 0.03
            total += part * characters
        values.append(total)
    top = max(values)
    return [v / top for v in values]


@pytest.mark.parametrize("given", READINGS, ids=lambda g: " ".join(map(str, g.values())))
def test_the_quick_sum_is_the_plain_sum(ref: Reference, given: dict[str, Any]) -> None:
    joined = ref.with_own(MARKS, CODES)
    case = Case.from_dict({"mark": given, "this_year": 2026}, joined)
    heights = mark_factor(case.marks[0], case, axis_to(2026), joined).heights
    assert heights == pytest.approx(plain_sum(given, joined), rel=2e-3, abs=1e-6)


def test_shares_of_makers_and_variants(ref: Reference) -> None:
    makers: dict[str, dict[str, float]] = {}
    for mark, share in zip(ref.listed.marks, ref.listed.share, strict=True):
        each = makers.setdefault(hand(mark), {})
        each[mark.common.commonness] = each.get(mark.common.commonness, 0.0) + share
    usual = [each for each in makers.values() if each.keys() != {"few"}]
    assert sum(sum(each.values()) - each.get("few", 0.0) for each in usual) == pytest.approx(0.8)
    some = {each["some"] for each in usual if each.keys() <= {"some", "few"}}
    assert max(some) == pytest.approx(min(some))
    rare = {each["few"] for each in makers.values() if each.keys() == {"few"}}
    assert max(rare) == pytest.approx(max(some) / 20)


def test_one_common_letter_stays_open_four_hardly(ask: Ask) -> None:
    lone = ask({"mark": {"letters": "J"}}).marks[-1]
    word = ask({"mark": {"letters": "ROOT"}}).marks[-1]
    assert lone.maker == word.maker == "a mark not in the tables"
    assert lone.probability > 0.3
    assert word.probability < 0.01


def test_probabilities_of_marks_sum_to_one(ask: Ask) -> None:
    for letters in ("A", "LG", "BALL", "X?"):
        marks = ask({"mark": {"letters": letters}}).marks
        assert sum(m.probability for m in marks) == pytest.approx(1)


def test_long_inscriptions_do_not_underflow(ask: Ask) -> None:
    text = "KERR GLASS MFG CORP SAND SPRINGS OKLA"
    finding = ask({"mark": {"letters": text}})
    assert finding.marks[0].id == "kerr-corp-sand-springs"
    assert finding.marks[0].probability > 0.97
    assert math.isfinite(sum(finding.posterior))


def test_a_mark_more_likely_unknown_bounds_nothing(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "XQZP"}})
    assert finding.window is None
    assert finding.marks[-1].probability > 0.9
    assert "no mark of the tables reads so" in finding.because[0].detail


def test_support_is_the_union_of_the_marks_that_read_as_well(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "MGCO", "frame": "none", "symbol": "", "arrangement": "plain"}})
    assert finding.window == (1869, 1907)  # 1874 circa of one to 1902 circa of the other


def test_years_and_marks_are_inferred_together(ask: Ask) -> None:
    reading = {"letters": "MGCO", "arrangement": "plain"}
    early = ask({"mark": reading, "known": [{"what": "shop closed", "to": 1880}]})
    late = ask({"mark": reading, "known": [{"what": "shop opened", "from": 1896}]})
    assert early.marks[0].maker == "Mississippi Glass Company"
    assert late.marks[0].id == "modes-mgco"


def test_an_opinion_on_the_maker_leaves_its_marks_alone(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "MGCO"}, "maker": "Modes Glass Company"})
    assert [m.id for m in finding.marks] == ["modes-mgco"]
    other = ask({"mark": {"letters": "MGCO"}, "maker": "Nobody & Sons"})
    assert other.window is None
    assert [m.maker for m in other.marks] == ["a mark not in the tables"]


def test_chosen_marks_alone(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "B", "only": ["buck-b", "boldt-b"]}})
    assert {m.id for m in finding.marks} == {"buck-b", "boldt-b"}


def test_own_marks_join_with_their_ids_and_makers(ask: Ask) -> None:
    finding = ask({"mark": {"letters": "T&H", "frame": "hexagon", "right": "37"}, "own": OWN})
    assert (finding.words, finding.marks[0].id) == ("1937", "th-hex")
    assert finding.marks[0].maker == "Tern & Hollis Glass Works"


def test_several_readings_are_all_used(ref: Reference) -> None:
    given = {"marks": [{"letters": "ROOT"}, {"letters": "LG", "right": "69"}], "this_year": 2026}
    finding = assess(Case.from_dict(given, ref), ref)
    assert {m.reading for m in finding.marks} == {0, 1}
    assert finding.window is None  # two makers whose years are apart
    assert finding.conflicts[0].kind == "dates"
    assert {m.get("reading") for m in finding.as_dict()["marks"]} == {None, 1}  # type: ignore[union-attr,attr-defined]


def test_what_is_remembered_of_one_bottle_never_answers_for_another(
    ref: Reference, monkeypatch: pytest.MonkeyPatch
) -> None:
    readings = [
        {"letters": "LG", "right": "69", "certainty": sure} for sure in ("certain", "probable", "doubtful")
    ]
    cases = [
        Case.from_dict({"mark": reading, "recovered": year, "this_year": 2026}, ref)
        for year in range(1970, 2026, 5)
        for reading in readings
    ]
    fresh = [assess(case, ref.with_own(), reasons=False).posterior for case in cases]
    joined = ref.with_own()
    monkeypatch.setattr("dating.library.REMEMBERED", 7)
    assert [assess(case, joined, reasons=False).posterior for case in cases * 2] == fresh * 2


def test_characters_that_are_a_year_of_one_of_two_makers_are_not_called_undated(ref: Reference) -> None:
    """Two makers share the letters, one dated its ware so; what is no year of that one is the other's."""
    years = {"used_from": 1920, "used_to": 1950}
    marks = [{"id": f"zqx-{n}", "letters": "ZQX", "maker": f"Maker {n}", **years} for n in "ab"]
    code = {"id": "zqx", "mark_ids": "zqx-a", "kind": "last-two-digits", "position": "right", **DATED}
    joined = ref.with_own(marks, [code])
    case = Case.from_dict({"mark": {"letters": "ZQX", "right": "37"}, "this_year": 2026}, joined)
    piece = assess(case, joined).pieces[0]
    assert not piece.coded
    assert set(piece.detail.split(" or ")) == {"Maker a", "Maker b"}
    undated = Case.from_dict({"mark": {"letters": "ZQX", "right": "77"}, "this_year": 2026}, joined)
    assert (
        assess(undated, joined).pieces[0].detail
        == "Maker b; no year code of this maker is known: 77 does not date"
    )


DATED = {"valid_from": 1920, "valid_to": 1950}
