"""The one axis of years: the middle of what the dated pieces cover, in whole decades, broken for the rest."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.year_axis import BEYOND, WIDTH, YearAxis, axis_of

THIS_YEAR = 2026


def axis_over(windows: list[tuple[int, int]]) -> YearAxis:
    """The axis of pieces that are each spread evenly from a first to a last year."""
    summed = Counter[int]()
    for first, last in windows:
        for year in range(first, last + 1):
            summed[year] += 1 / (last - first + 1)
    return axis_of(sorted(summed.items()), len(windows), THIS_YEAR)


def single(years: list[int]) -> list[tuple[int, int]]:
    return [(year, year) for year in years]


WINDOWS = st.tuples(st.integers(1500, THIS_YEAR), st.integers(0, 150)).map(
    lambda each: (each[0], min(THIS_YEAR, each[0] + each[1]))
)


@given(st.lists(WINDOWS, min_size=10, max_size=60))
def test_its_ends_are_the_second_and_the_98th_percentile_out_to_decades(windows):
    """Judged by numpy's weighted percentile, a hair beside each share for the rounding of its sums."""
    axis = axis_over(windows)
    years = [year for first, last in windows for year in range(first, last + 1)]
    weights = [1 / (last - first + 1) for first, last in windows for _ in range(first, last + 1)]
    near = [1.999999, 2.000001, 97.999999, 98.000001]
    found = np.percentile(years, near, weights=weights, method="inverted_cdf")
    lows = {int(year) // 10 * 10 for year in found[:2]}
    highs = {int(year) // 10 * 10 + 10 for year in found[2:]}
    assert axis.first <= max(lows) and axis.last >= min(highs)
    if min(highs) - max(lows) >= 40:
        assert axis.first in lows and axis.last in highs
    assert axis.before == (min(years) < axis.first) and axis.after == (max(years) >= axis.last)


def test_one_in_a_hundred_lies_beyond_a_broken_end():
    axis = axis_over(single([1640, *[1860 + n % 100 for n in range(100)], 2020]))
    assert (axis.first, axis.last) == (1860, 1960)
    assert axis.before and axis.after


def test_it_moves_by_whole_decades_only():
    years = [1860 + n % 100 for n in range(200)]
    seen = [axis_over(single([*years, *[1855] * more])).first for more in range(12)]
    assert sorted(set(seen)) == [1850, 1860] and seen == sorted(seen, reverse=True)


@pytest.mark.parametrize("pieces", [0, 1, 9])
def test_fewer_than_ten_dated_pieces_choose_no_axis(pieces):
    axis = axis_over(single([1910 + n for n in range(pieces)]))
    assert (axis.first, axis.last) == (1800, THIS_YEAR + 1)
    assert not axis.before and not axis.after


def test_with_few_pieces_an_older_one_breaks_the_end():
    axis = axis_over(single([1790, 1900]))
    assert axis.first == 1800 and axis.before and not axis.after


def test_it_opens_for_one_find_on_the_side_where_its_years_lie():
    axis = YearAxis(1860, 1960, before=True, after=True)
    opened = axis.holding([(1793, 1.0)], window=(1791, 1795))
    assert (opened.first, opened.last) == (1790, 1960)
    assert not opened.before and opened.after
    assert axis.holding([(1900, 1.0)], window=(1860, 1959)) == axis
    assert axis.holding(years=[1975]).last == 1980


def test_pieces_of_one_decade_still_have_years_to_tell_apart():
    axis = axis_over(single([1925] * 20))
    assert axis.last - axis.first == 40 and axis.first < 1925 < axis.last
    late = axis_over(single([2024] * 20))
    assert (late.first, late.last) == (1990, 2030)


def test_both_ends_keep_a_strip_for_what_lies_beyond():
    scale = YearAxis(1860, 1960).scale
    assert (scale.x(1860), scale.x(1960)) == (BEYOND, WIDTH - BEYOND)


def test_an_axis_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match="can't be drawn"):
        YearAxis(1900, 1900)
