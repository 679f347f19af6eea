"""Pieces that follow from one cause are not counted twice; a mark and its code are one piece."""

import pytest

from dating import Reference
from dating.belief import together
from dating.years import axis_to

from .conftest import Ask
from .own_rows import OWN

TWO = ["machine-seam-over-finish", "ghost-seam"]


def test_families_hold_known_features_once(ref: Reference) -> None:
    assert len(ref.families) > 40 and set(ref.families) <= set(ref.features)
    assert ref.family_of("ghost-seam") == ref.family_of("valve-mark") == "made by machine"
    assert ref.family_of("free-blown") == ""


def test_two_traces_of_one_machine_take_the_lower_shape_not_the_product(ask: Ask) -> None:
    finding = ask({"features": TWO})
    axis = axis_to(2026)
    one, two = finding.pieces
    means = [axis.mean(p.heights) for p in (one, two)]
    expected = []
    for a, b in zip(one.heights, two.heights, strict=True):
        u, v = one.weight, two.weight
        expected.append(
            u * v * min(a, b)
            + u * (1 - v) * means[1] * a
            + (1 - u) * means[0] * v * b
            + (1 - u) * (1 - v) * means[0] * means[1]
        )
    joint = together((one, two), axis)
    assert joint == pytest.approx([e / axis.mean(expected) for e in expected], rel=1e-9)
    assert axis.mean(joint) == pytest.approx(1)


def test_a_third_trace_does_not_sharpen_the_years(ask: Ask) -> None:
    def rise(features: list[str]) -> float:
        after = ask({"features": features}).posterior
        return after[1898 - 1600] / after[1930 - 1600]

    single = rise(["ghost-seam"])
    pair = rise(["ghost-seam", "neck-ring-parting-line"])  # the same years in the tables
    assert pair == pytest.approx(single, rel=0.02)
    independent = rise(["ghost-seam", "crown-finish"])
    assert independent < 0.8 * single


def test_the_same_feature_twice_is_one_observation(ask: Ask) -> None:
    once = ask({"features": ["acl"]})
    twice = ask({"features": [{"id": "acl", "certainty": "doubtful"}, "acl", "acl"]})
    assert once.posterior == twice.posterior
    assert len(twice.because) == 1


def test_the_same_reading_twice_is_one_observation(ask: Ask) -> None:
    mark = {"letters": "BW", "symbol": "wave", "right": "7"}
    once, twice = ask({"mark": mark, "own": OWN}), ask({"marks": [mark, mark], "own": OWN})
    assert once.posterior == twice.posterior


def test_a_mark_and_its_code_are_one_reason(ask: Ask) -> None:
    assert len(ask({"mark": {"letters": "LG", "right": "69"}}).because) == 1


def test_leaving_one_of_a_family_out(ask: Ask) -> None:
    both, alone = ask({"features": TWO}), ask({"features": TWO[:1]})
    reasons = {reason.key: reason.bits for reason in both.because}
    assert reasons["ghost-seam"] < 0.5
    assert alone.because[0].bits > 3 * reasons["ghost-seam"]
