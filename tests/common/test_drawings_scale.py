"""The scale of years: whole decades round what is there."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.common.drawings.scale import YearScale, mass_range, scale_for

FLAT = [(year, 1.0) for year in range(1870, 1890)]


def test_a_year_reaches_from_its_beginning_to_the_next():
    scale = YearScale(1900, 1960, 600, 20)
    assert (scale.x(1900), scale.x(1960)) == (20, 620)
    assert scale.middle(1926) == 285


def test_the_scale_is_in_decades_and_not_too_short():
    scale = scale_for([FLAT])
    assert scale.first <= 1870 and scale.last >= 1890
    assert scale.first % 10 == scale.last % 10 == 0
    assert scale.last - scale.first >= 40


def test_one_scale_holds_all_curves():
    scale = scale_for([FLAT, [(1936, 1.0)]], years=[1946], windows=[(None, 1962), (1850, None)])
    assert (scale.first, scale.last) == (1850, 1970)


def test_thin_tails_do_not_stretch_it():
    tail = [(year, 0.0001) for year in range(1600, 2026)] + [(1936, 5.0)]
    scale = scale_for([tail], latest=2026)
    assert scale.first >= 1900 and scale.last <= 1980


def test_nothing_lies_in_the_future():
    assert scale_for([[(2020, 1.0)]], latest=2026).last == 2030
    assert scale_for([[(year, 1.0) for year in range(2000, 2100)]], latest=2026).last == 2030


def test_nothing_to_show_still_gives_a_scale():
    assert scale_for([]) == YearScale(1800, 2000)
    assert scale_for([[(1900, 0.0)]]) == YearScale(1800, 2000)


def test_mass_lies_between_its_tails():
    assert mass_range([(year, 1.0) for year in range(1900, 2000)], 0.9) == (1905, 1994)
    assert mass_range([(1936, 1.0)]) == (1936, 1936)
    assert mass_range([]) is None


def test_ticks_are_round_and_far_enough_apart():
    assert YearScale(1893, 1930, 400).ticks(30) == [1900, 1910, 1920, 1930]
    assert YearScale(1600, 2030, 180).ticks(30) == [1600, 1700, 1800, 1900, 2000]


@pytest.mark.parametrize(("first", "last", "width"), [(1900, 1900, 10), (1950, 1900, 10), (1900, 1950, 0)])
def test_a_scale_that_cannot_be_is_refused(first, last, width):
    with pytest.raises(ValueError, match="can't be drawn"):
        YearScale(first, last, width)


@given(st.lists(st.tuples(st.integers(1600, 2026), st.floats(0, 1)), max_size=40))
def test_any_curve_gives_a_scale_that_holds_its_peak(curve):
    scale = scale_for([curve], latest=2026)
    assert scale.last - scale.first >= 40
    found = mass_range(curve)
    if found:
        assert scale.first <= found[0] and found[1] < scale.last
