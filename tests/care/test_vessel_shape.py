"""Lines on a vessel: how much stands up to them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.care.volume import Box, Round

mm = st.floats(30, 900)
share = st.floats(0.01, 1)


def test_a_straight_one_is_a_cylinder() -> None:
    assert Round(200, 200, 300).volume_ml == pytest.approx(math.pi * 100**2 * 300 / 1000)


def test_one_that_ends_in_a_point_is_a_cone() -> None:
    assert Round(200, 0, 300).volume_ml == pytest.approx(math.pi * 100**2 * 300 / 3000)


def test_a_straight_box_is_length_times_width_times_height() -> None:
    assert Box(500, 300, 500, 300, 200).volume_ml == pytest.approx(30_000)


def test_a_box_that_ends_in_a_point_is_a_pyramid_and_in_an_edge_a_wedge() -> None:
    """Elementary solid geometry: a third of, and (with an edge as long as the base) half of the block."""
    assert Box(300, 300, 0, 0, 400).volume_ml == pytest.approx(300 * 300 * 400 / 3000)
    assert Box(300, 200, 300, 0, 400).volume_ml == pytest.approx(300 * 200 * 400 / 2000)


def test_a_storage_box_worked_out_by_hand() -> None:
    """Prismatoid formula, by hand: 400 × 300 at the top, 340 × 240 at the bottom, 200 high.

    Bottom 81,600, middle 370 × 270 = 99,900, top 120,000 mm²; 200 / 6 · (81,600 + 399,600 + 120,000) is
    20,040,000 mm³. Half as high: 370 × 270 on top, in the middle 355 × 255 = 90,525; 100 / 6 ·
    (81,600 + 362,100 + 99,900) = 9,060,000 mm³.
    """
    box = Box(400, 300, 340, 240, 200)
    assert box.volume_ml == pytest.approx(20_040)
    assert box.volume_to(100) == pytest.approx(9_060)
    assert box.height_of(9_060) == pytest.approx(100)


def test_a_square_pail_stands_between_the_round_ones_inside_and_about_it() -> None:
    inner, square, outer = Round(300, 260, 330), Box(300, 300, 260, 260, 330), Round(425, 368, 330)
    assert inner.volume_ml < square.volume_ml < outer.volume_ml
    # The ratio of a circle to the square about it, at every height.
    assert inner.volume_to(120) / square.volume_to(120) == pytest.approx(math.pi / 4)


@given(top=mm, bottom=mm, height=mm, share=share)
def test_a_line_is_where_its_volume_stands(top: float, bottom: float, height: float, share: float) -> None:
    for shape in (Round(top, bottom, height), Box(top, bottom, bottom, top, height)):
        line = shape.height_of(shape.volume_ml * share)
        assert shape.volume_to(line) == pytest.approx(shape.volume_ml * share, rel=1e-6)


@given(a=mm, b=mm, c=mm, d=mm, height=mm)
def test_a_box_agrees_with_thin_slices(a: float, b: float, c: float, d: float, height: float) -> None:
    """Added up slice by slice (midpoint rule), a second way to the same volume."""
    box, slices = Box(a, b, c, d, height), 400
    step = height / slices
    middles = [(n + 0.5) * step for n in range(slices)]
    added = sum(box.width_at(z) * box.deep_at(z) * step for z in middles) / 1000
    assert box.volume_ml == pytest.approx(added, rel=1e-4)


def test_more_than_it_holds_stands_at_the_brim() -> None:
    assert Box(400, 300, 340, 240, 200).height_of(99_000) == 200
