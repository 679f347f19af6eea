"""Lanes of the year ruler: ends, separate years, and a curve with few points that stays true."""

import pytest

from dating.reasons import simplified

from .conftest import Ask
from .own_rows import OWN


def test_one_lane_a_piece(ask: Ask) -> None:
    finding = ask(
        {
            "features": ["crown-finish"],
            "mark": {"letters": "BW", "symbol": "wave", "right": "7"},
            "own": OWN,
            "known": [{"what": "shop", "from": 1900, "source": "directory"}],
        }
    )
    lanes = {lane.kind: lane for lane in finding.lanes}
    assert (lanes["feature"].label, lanes["feature"].start, lanes["feature"].end) == (
        "Crown cap finish",
        1892,
        None,
    )
    assert lanes["mark"].years == (1927, 1937, 1947)
    assert lanes["known"].years is None
    assert (lanes["known"].source, lanes["known"].weight) == ("directory", 0.99)
    assert lanes["feature"].id == "crown-finish"


@pytest.mark.parametrize("name", ["crown-finish", "colour-aqua", "applied-finish", "acl", "champagne-finish"])
def test_the_curve_stays_within_a_hair(ask: Ask, name: str) -> None:
    finding = ask({"features": [name]})
    (lane,), (piece,) = finding.lanes, finding.pieces
    assert len(lane.curve) < 40
    assert (lane.curve[0][0], lane.curve[-1][0]) == finding.axis
    for (a, low), (b, high) in zip(lane.curve, lane.curve[1:], strict=False):
        for year in range(a, b + 1):
            drawn = low + (high - low) * (year - a) / (b - a)
            assert drawn == pytest.approx(piece.heights[year - 1600], abs=0.021)


def test_a_step_keeps_both_its_points() -> None:
    assert simplified([0, 0, 0, 1, 1, 1], 1900) == ((1900, 0), (1902, 0), (1903, 1), (1905, 1))
    assert simplified([1], 1900) == ((1900, 1),)
