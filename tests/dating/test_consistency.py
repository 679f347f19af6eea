"""Bottles simulated from the model: do its sets hold the true year as often as they claim?"""

import pytest

from dating import Reference
from tests.benchmarks.calibration import kept, published, sets_by_width, simulated, windows_by_width
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


@pytest.mark.parametrize("seed", [1, 2])
def test_windows_and_sets_are_right_as_often_as_they_say(ref: Reference, seed: int) -> None:
    """Sets of 6 to 40 years are the ones people act on: at least 85 in 100 must hold the year."""
    found = simulated(ref, 2500, seed)  # at 700 the median width still swings by several years
    for line in (*windows_by_width(found), *sets_by_width(found)):
        assert line.answers < 20 or line.share >= 0.85, line.words
    guard = kept(found)
    assert guard.stated >= 0.95 * guard.read, guard.words
    assert guard.stated_width <= 1.05 * guard.read_width, guard.words


def test_the_published_examples_keep_their_windows(ref: Reference) -> None:
    found = published(ref)
    assert len(found) == 18 and all(finding.window for _, finding in found)
