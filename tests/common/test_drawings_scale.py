"""A scale of years, and where the mass of a curve lies."""

import pytest

from catalogue.common.drawings.year_axis import YearScale, mass_range


def test_a_year_reaches_from_its_beginning_to_the_next():
    scale = YearScale(1900, 1960, 600, 20)
    assert (scale.x(1900), scale.x(1960)) == (20, 620)
    assert scale.middle(1926) == 285


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
