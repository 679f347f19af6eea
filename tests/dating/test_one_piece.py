"""A single piece of evidence moves the odds by exactly its weight; the others combine as independent."""

from typing import Any

import pytest

from dating import Reference
from dating.years import axis_to

from .conftest import Ask
from .own_rows import OWN

ALONE: list[dict[str, Any]] = [
    {"features": ["crown-finish"]},
    {"features": [{"id": "bare-iron-pontil", "certainty": "probable"}]},
    {"features": [{"id": "acl", "certainty": "doubtful"}]},
    {"features": ["acl"], "region": "UK"},
    {"known": [{"what": "in business", "from": 1884, "to": 1901, "certainty": "probable"}]},
    {"marks": [{"letters": "LG", "right": "69"}]},
    {"marks": [{"letters": "BW", "symbol": "wave", "right": "7", "certainty": "doubtful"}], "own": OWN},
]


@pytest.mark.parametrize("given", ALONE)
def test_alone_it_is_weight_times_shape_plus_the_rest_of_the_prior(ask: Ask, given: dict[str, Any]) -> None:
    finding = ask(given)
    (piece,) = finding.pieces
    prior = axis_to(2026).prior
    mean = sum(p * t for p, t in zip(prior, piece.heights, strict=True))
    expected = [
        piece.weight * p * t / mean + (1 - piece.weight) * p
        for p, t in zip(prior, piece.heights, strict=True)
    ]
    assert finding.posterior == pytest.approx(expected, rel=1e-9)
    assert sum(finding.posterior) == pytest.approx(1)


def test_independent_pieces_multiply(ask: Ask, ref: Reference) -> None:
    finding = ask({"features": ["applied-finish", "air-vent-marks"]})
    prior = axis_to(2026).prior
    values = list(prior)
    for piece in finding.pieces:
        mean = sum(p * t for p, t in zip(prior, piece.heights, strict=True))
        values = [
            v * (piece.weight * t + (1 - piece.weight) * mean)
            for v, t in zip(values, piece.heights, strict=True)
        ]
    total = sum(values)
    assert finding.posterior == pytest.approx([v / total for v in values], rel=1e-9)


@pytest.mark.parametrize(
    ("given", "weight", "words"),
    [
        ({"features": ["turn-mould"]}, 0.99, "read in a publication"),
        ({"features": ["crown-finish"]}, 0.99 * 0.97, "compiler"),
        ({"features": ["oil-finish"]}, 0.99 * 0.93, "memory"),
        ({"features": [{"id": "turn-mould", "certainty": "probable"}]}, 0.8, "probably"),
        ({"features": [{"id": "turn-mould", "certainty": "doubtful"}]}, 0.5, "doubtful"),
        ({"features": ["turn-mould"], "region": "UK"}, 0.99 / 2, "half weight"),
        ({"features": ["turn-mould"], "region": "US"}, 0.99, "publication"),
        ({"features": ["inside-thread-uk"], "region": "GB", "contents": "beer"}, 0.99 * 0.97, "compiler"),
        ({"features": ["plate-mould-soda"], "contents": "milk"}, 0.99 * 0.97 / 2, "the row is for soda"),
        ({"mark": {"letters": "LG", "right": "69"}}, 0.99, "publication"),
        ({"mark": {"letters": "BB48"}}, 0.99 * 0.97, "a year of the mark is from memory"),
        ({"mark": {"letters": "HHEYEBREMEN"}}, 0.99 * 0.93, "the mark and its years are from memory"),
        ({"mark": {"letters": "OFG"}, "own": OWN}, 0.99, "your own"),
        ({"known": [{"what": "x", "from": 1900}]}, 0.99, "your own"),
    ],
)
def test_weights_and_their_reasons(ask: Ask, given: dict[str, Any], weight: float, words: str) -> None:
    (reason,) = ask(given).because
    assert reason.weight == pytest.approx(weight)
    assert words in reason.why_weight


def test_a_shape_beyond_the_axis_says_nothing_but_is_a_conflict(ask: Ask) -> None:
    finding = ask({"features": ["zip-code"], "recovered": 1950})
    assert finding.window is None
    assert finding.words == "the evidence disagrees"
    assert finding.posterior == pytest.approx(axis_to(1950).prior)
    assert finding.conflicts[0].between == ("ZIP code on label", "recovered in 1950")


def test_very_much_evidence_does_not_underflow(ask: Ask) -> None:
    known = [{"what": f"paper {n}", "from": 1900 + n % 3, "to": 1901 + n % 3} for n in range(400)]
    finding = ask({"known": known}, reasons=False)
    assert sum(finding.posterior) == pytest.approx(1)
