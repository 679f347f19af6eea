"""The year ruler that a span is chosen on."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.large_ruler import EDGE_PCT, brush_ruler
from catalogue.common.drawings.year_axis import YearAxis
from tests.common.svg import parsed

AXIS = YearAxis(1900, 1940)


def dimmed(chosen: tuple[int, int] | None) -> tuple[float, float]:
    """In hundredths of the width: where the dark on the left ends, and where that on the right begins."""
    drawing = brush_ruler(AXIS, [(1905, 1.0)], chosen=chosen, words="a <b> & c")
    left = re.search(r'data-before="" x="0" y="0" width="([\d.]+)%"', drawing)
    right = re.search(r'data-after="" x="([\d.]+)%"', drawing)
    assert left and right and "a &lt;b&gt; &amp; c" in drawing
    return float(left[1]), float(right[1])


def test_what_is_not_chosen_is_dimmed():
    # between two strips of 2.5 %, forty years on 95 %
    assert EDGE_PCT == 2.5
    assert dimmed((1910, 1919)) == pytest.approx((2.5 + 95 / 4, 2.5 + 95 / 2))
    assert dimmed(None) == (0, 100)


def test_an_end_of_the_axis_takes_in_what_lies_beyond_it():
    assert dimmed((1900, 1939)) == (0, 100)
    assert dimmed((1800, 1850)) == (0, 2.5)


@given(
    first=st.integers(100, 200).map(lambda n: n * 10),
    decades=st.integers(1, 45),
    curve=st.lists(st.tuples(st.integers(990, 2500), st.floats(0, 1e9)), max_size=60),
)
def test_any_sum_can_be_drawn(first, decades, curve):
    axis = YearAxis(first, first + decades * 10)
    root = parsed(f"<div>{brush_ruler(axis, curve, chosen=(first, first + 3), words='x')}</div>")
    years = [int(each.text) for each in root.iter("text")]
    assert years and all(axis.first <= year <= axis.last for year in years)
