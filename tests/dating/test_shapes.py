"""Shapes over the years: ramps, tails, flat sides, firm limits, circa and firms."""

from dataclasses import replace

import pytest

from dating import Reference
from dating.years import Trapezoid, box, ends, shape_of_feature, shape_of_mark


def test_rise_and_fall_are_mirrored() -> None:
    shape = Trapezoid(1900, 1904, 1920, 1924)
    assert [shape.at(y) for y in range(1899, 1906)] == [0, 0.2, 0.4, 0.6, 0.8, 1, 1]
    assert [shape.at(y) for y in range(1925, 1918, -1)] == [0, 0.2, 0.4, 0.6, 0.8, 1, 1]


def test_equal_corners_are_a_step() -> None:
    shape = Trapezoid(1935, 1935, 1964, 1964)
    assert [shape.at(y) for y in (1934, 1935, 1964, 1965)] == [0, 1, 1, 0]


def test_blank_outer_corner_halves_every_twenty_years() -> None:
    shape = Trapezoid(None, 1800, 1850, None)
    assert shape.at(1780) == pytest.approx(0.5)
    assert shape.at(1760) == pytest.approx(0.25)
    assert shape.at(1870) == pytest.approx(0.5)
    assert shape.support == ((-1_000_000, 1_000_000),)


def test_both_blank_is_flat() -> None:
    shape = Trapezoid(1892, 1905, None, None)
    assert shape.at(2026) == 1


def test_tail_stops_at_a_firm_limit(ref: Reference) -> None:
    row = replace(ref.features["colour-aqua"], common_from=1850, common_to=1900, hard_limit="both")
    shape = shape_of_feature(row)
    assert (shape.at(1849), shape.at(1850), shape.at(1900), shape.at(1901)) == (0, 1, 1, 0)


def test_missing_inner_corner_stands_on_the_outer(ref: Reference) -> None:
    row = replace(ref.features["crown-finish"], common_from=None, latest=1950, common_to=None)
    shape = shape_of_feature(row)
    assert (shape.at(1891), shape.at(1892), shape.at(1950), shape.at(1951)) == (0, 1, 1, 0)


def test_known_years_with_ramps_outward() -> None:
    shape = box(1900, 1910, 5, 10)
    assert ends(shape.support) == (1895, 1920)
    assert shape.at(1895) == pytest.approx(1 / 6)
    assert shape.at(1920) == pytest.approx(1 / 11)
    assert shape.at(1905) == 1


def test_mark_years_soften_by_circa_and_by_firm(ref: Reference) -> None:
    assert ends(shape_of_mark(ref.marks["liberty-lg"]).support) == (1929, 1994)  # circa at the start only
    assert ends(shape_of_mark(ref.marks["agw-richmond"]).support) == (1898, 1935)  # a firm's years
    assert ends(shape_of_mark(ref.marks["essex-e4"]).support) == (1896, 1930)


def test_open_end_of_a_mark_stays_open(ref: Reference) -> None:
    row = replace(ref.marks["liberty-lg"], used_to=None)
    assert ends(shape_of_mark(row).support) == (1929, None)
