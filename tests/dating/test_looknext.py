"""What to look at next, checked against Quinlan's published table and hand-computed cases."""

import json
from pathlib import Path
from typing import Any

import pytest

from dating import Reference
from dating.copies import COPIES
from dating.looknext import ONE_OF, YES_NO, entropy, expected, gain, promise, table

from .conftest import Ask
from .own_rows import OWN

CASES: dict[str, Any] = {
    case["id"]: case
    for case in json.loads((Path(__file__).parent / "chronology_cases.json").read_text(encoding="utf-8"))[
        "cases"
    ]
}


@pytest.mark.parametrize("name", ["outlook", "temperature", "humidity", "wind"])
def test_quinlan_1986(name: str) -> None:
    """Machine Learning 1:81–106: 14 days, 9 of one class and 5 of the other."""
    case = CASES["quinlan_weather"]
    prior = [9 / 14, 5 / 14]
    answers = [[yes / 9, no / 5] for yes, no in case["partitions"][name]]
    assert entropy(prior) == pytest.approx(case["entropy"], abs=1e-6)
    assert gain(prior, answers) == pytest.approx(case["gains"][name], abs=1e-6)


@pytest.mark.parametrize("name", ["mark_A", "stippled", "vague"])
def test_four_decades(name: str) -> None:
    case = CASES["next_observation"]
    prior = list(case["prior"].values())
    yes = list(case["questions"][name].values())
    found = gain(prior, [yes, [1 - value for value in yes]])
    assert found == pytest.approx(case["results"][name]["gain_bits"], abs=1e-6)


def test_entropies() -> None:
    bits = CASES["entropy_checks"]["bits"]
    assert entropy([0.1] * 10) == pytest.approx(bits["uniform_10"], abs=1e-6)
    assert entropy([0.5, 0.25, 0.25, 0.0]) == pytest.approx(bits["half_quarter_quarter"], abs=1e-6)


def test_the_prepared_form_is_the_plain_one() -> None:
    posterior = [0.1, 0.2, 0.3, 0.4]
    answers = table([(1.0, 0.5, 0.0, 0.0), (0.0, 0.2, 1.0, 1.0)], 0.1)
    assert expected(posterior, answers) == pytest.approx(gain(posterior, answers.chances))
    assert all(sum(row[n] for row in answers.chances) == pytest.approx(1) for n in range(4))
    assert answers.chances[0][0] == pytest.approx(0.9 * 1 / 2)  # (1−κ)·t/Σt, “none of these” in the sum


def test_only_when_asked_for(ask: Ask) -> None:
    assert ask({"features": ["acl"]}).look_next == ()
    assert ask({"features": ["acl"], "look_next": True}).look_next
    assert ask({"features": ["acl"]}, look_next=True).look_next


def test_most_useful_first_and_answered_ones_left_out(ask: Ask) -> None:
    looks = ask({"features": ["crown-finish"]}, look_next=True).look_next
    assert [one.worth for one in looks] == sorted((one.worth for one in looks), reverse=True)
    # a shape of the lip is answered; how it was made is another question
    assert {one.group for one in looks} & {"finish", "lip-shape"} == {"finish"}
    made = ask({"features": ["tooled-finish"]}, look_next=True).look_next
    assert {one.group for one in made} & {"finish", "lip-shape"} == {"lip-shape"}
    assert "mould-seam" in {one.group for one in looks}
    assert all(one.bits > 0 for one in looks)


def test_questions_put_aside_are_not_asked_again(ask: Ask) -> None:
    given = {"features": ["acl"], "asked": ["finish", "barcode"]}
    looks = ask(given, look_next=True).look_next
    assert "finish" not in {one.group for one in looks}
    assert ("barcode",) not in {one.features for one in looks}
    assert ("acl",) not in {one.features for one in looks}


def test_rows_of_other_regions_and_contents_are_not_offered(ask: Ask) -> None:
    asked = {
        name
        for one in ask({"contents": "soda", "region": "US"}, look_next=True).look_next
        for name in one.features
    }
    assert "blob-finish-soda" in asked
    assert not asked & {"blob-finish-beer", "inside-thread-uk", "square-milk"}
    few = ask({"contents": "soda", "region": "DE"}, look_next=True).look_next
    assert "base-surface" not in {one.group for one in few}


def test_every_group_has_its_question(ref: Reference) -> None:
    assert set(ref.groups) <= ONE_OF.keys() | YES_NO.keys() | {COPIES}


def test_the_code_beside_a_mark_is_asked_for(ask: Ask) -> None:
    looks = ask({"mark": {"letters": "BW", "symbol": "wave"}, "own": OWN}, look_next=True).look_next
    assert looks[0].group == "characters at the mark"
    assert looks[0].ask == "Look for characters at the right: do they give the year?"
    # ten digits over the code's thirty years: well below what the year itself holds, above one bit
    assert 1.5 < looks[0].bits < 3.4


@pytest.mark.parametrize("more", [{"right": "7"}, {"right": ""}, {"right": "?"}])
def test_a_code_that_was_looked_for_is_not(ask: Ask, more: dict[str, str]) -> None:
    looks = ask({"mark": {"letters": "BW", "symbol": "wave", **more}, "own": OWN}, look_next=True).look_next
    assert "characters at the mark" not in {one.group for one in looks}


def test_nor_one_put_aside_and_a_second_mark_is_its_own_question(ask: Ask) -> None:
    marks = [{"letters": "BW", "symbol": "wave"}, {"letters": "ROOT"}]
    looks = ask({"marks": marks, "own": OWN, "asked": ["characters at the mark"]}, look_next=True).look_next
    groups = {one.group for one in looks}
    assert "characters at the mark" not in groups
    assert "characters at mark 2" in groups
    heel = next(one for one in looks if one.group == "characters at mark 2")
    assert "on the heel" in heel.ask


def test_promises() -> None:
    assert promise(0.01) == "unlikely to narrow it much"
    assert promise(0.3) == "may narrow it a little"
    assert promise(1.0) == "likely to halve the range"
    assert promise(2.0) == "likely to leave about one year in 4"


def test_an_answer_that_no_year_gives_brings_nothing() -> None:
    """As for a code whose years lie beyond all that are still possible."""
    told = [[1.0, 0.0], [0.0, 1.0]]
    assert (
        gain([0.5, 0.5], [*told, [0.0, 0.0]]) == pytest.approx(gain([0.5, 0.5], told)) == pytest.approx(1.0)
    )
