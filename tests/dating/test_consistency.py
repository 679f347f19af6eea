"""Bottles simulated from the model: do its sets hold the true year as often as they claim?"""

from dating import Reference
from tests.benchmarks.consistency import measure


def test_likely_sets_hold_what_they_claim(ref: Reference) -> None:
    coverage = measure(ref, 500)
    assert coverage.likely >= 0.90 - 0.015
    assert coverage.half >= 0.50 - 0.015
    # ties make the sets a little larger than asked for, never smaller
    assert 0.90 <= coverage.likely_claimed < 0.96
    assert 0.50 <= coverage.half_claimed < 0.65
    # and they hold the year about as often as they claim: not too cautious either
    assert abs(coverage.likely - coverage.likely_claimed) < 0.04
    assert abs(coverage.half - coverage.half_claimed) < 0.06
