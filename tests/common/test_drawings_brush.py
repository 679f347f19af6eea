"""The year ruler that a span is chosen on."""

import re

from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.scale import YearScale, brush_ruler, steps
from tests.common.svg import parsed

SCALE = YearScale(1900, 1940)


def test_each_year_is_a_level_step_as_high_as_its_pieces():
    assert (
        steps(SCALE, [(1905, 2.0), (1906, 1.0), (1910, 1.0)]) == "M0 100H5V0H6V50H7V100H10V50H11V100H40V100Z"
    )


def test_nothing_is_drawn_of_nothing():
    assert steps(SCALE, []) == steps(SCALE, [(1800, 3.0)]) == steps(SCALE, [(1905, 0.0)]) == ""


def test_what_is_not_chosen_is_dimmed():
    drawing = brush_ruler(SCALE, [(1905, 1.0)], chosen=(1910, 1919), words="a <b> & c")
    assert re.search(r'data-before="" x="0" y="0" width="25%"', drawing)
    assert re.search(r'data-after="" x="50%" y="0" width="50%"', drawing)
    assert "a &lt;b&gt; &amp; c" in drawing
    whole = brush_ruler(SCALE, [(1905, 1.0)], chosen=None, words="")
    assert 'data-before="" x="0" y="0" width="0%"' in whole and 'data-after="" x="100%"' in whole


@given(
    first=st.integers(100, 200).map(lambda n: n * 10),
    decades=st.integers(1, 45),
    curve=st.lists(st.tuples(st.integers(990, 2500), st.floats(0, 1e9)), max_size=60),
)
def test_any_sum_can_be_drawn(first, decades, curve):
    scale = YearScale(first, first + decades * 10)
    root = parsed(f"<div>{brush_ruler(scale, curve, chosen=(first, first + 3), words='x')}</div>")
    years = [int(each.text) for each in root.iter("text")]
    assert years and all(scale.first <= year <= scale.last for year in years)
