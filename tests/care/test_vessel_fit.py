"""Will these fit, standing or lying?"""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.care.packing import GAP_MM, Disc, Rectangle, Size, Spot
from catalogue.care.volume import Box, Round, fit_lying, fit_standing

TUB = Round(top_mm=300, bottom_mm=260, height_mm=330)
BOX = Box(top_length_mm=560, top_width_mm=360, bottom_length_mm=500, bottom_width_mm=310, height_mm=280)
widths = st.lists(st.floats(20, 150), max_size=14)


def apart(spot: Spot, others: Sequence[Spot]) -> None:
    for other in others:
        between = math.hypot(spot.x - other.x, spot.y - other.y)
        assert between >= (spot.width + other.width) / 2 + GAP_MM - 1e-5


def test_six_soda_bottles_stand_in_a_tub() -> None:
    fit = fit_standing(TUB, 264, [Size(240, 68)] * 6)
    assert fit.all and len(fit.spots) == 6


def test_one_that_is_too_tall_is_said_to_stand_out() -> None:
    fit = fit_standing(TUB, 200, [Size(240, 68), Size(150, 60)])
    assert (fit.placed, fit.of) == (1, 2)
    assert "1 would stand out" in fit.why_not


def test_seven_equal_circles_fit_where_geometry_says_and_not_in_less() -> None:
    """Seven equal circles need a circle of three times their width (elementary)."""
    assert len(Disc(3 * (68 + GAP_MM) - GAP_MM + 0.01).stand([68] * 7)) == 7
    assert len(Disc(2.8 * 68).stand([68] * 7)) < 7


@given(room=st.floats(100, 600), widths=st.lists(st.floats(20, 150), max_size=14))
def test_no_layout_overlaps_or_sticks_out(room: float, widths: list[float]) -> None:
    spots = Disc(room).stand(widths)
    for place, a in enumerate(spots):
        assert math.hypot(a.x, a.y) + a.width / 2 <= room / 2 + 1e-6
        apart(a, spots[:place])


def test_lying_pieces_are_counted_by_layers() -> None:
    fit = fit_lying(TUB, 264, [Size(240, 68)] * 12)
    assert (fit.placed, fit.layers) == (3, 3)
    assert "layers" in fit.why_not
    assert fit_lying(TUB, 264, [Size(140, 50)] * 4).all
    assert "too thick" in fit_lying(TUB, 60, [Size(140, 68)]).why_not
    assert "too long" in fit_lying(TUB, 264, [Size(400, 68)]).why_not


@pytest.mark.parametrize(
    ("length", "width", "count"),
    [
        # rows of 68 mm with 4 mm between: two by two, three by two, one row of five
        (140, 140, 4),
        (212, 140, 6),
        (356, 68, 5),
        # the second row in the hollows of the first: 62.4 mm on, not 72
        (176, 131, 4),
        # three lean against each other where four do not stand in a square: √6 − √2 sides apart
        (139, 139, 3),
        (137, 137, 2),
        (67, 500, 0),
    ],
)
def test_equal_circles_fill_a_rectangle_as_far_as_geometry_lets_them(
    length: float, width: float, count: int
) -> None:
    """Rows and hollows, elementary: circles 72 mm apart in a staggered row stand 72 · √3 / 2 mm further on
    where they are set half-way between."""
    for floor in (Rectangle(length, width), Rectangle(width, length)):
        assert len(floor.stand([68] * 8)) == count


@given(length=st.floats(60, 700), width=st.floats(60, 500), widths=widths)
def test_nothing_overlaps_or_sticks_out_of_a_box(length: float, width: float, widths: list[float]) -> None:
    spots = Rectangle(length, width).stand(widths)
    for place, spot in enumerate(spots):
        assert abs(spot.x) + spot.width / 2 <= length / 2 + 1e-6
        assert abs(spot.y) + spot.width / 2 <= width / 2 + 1e-6
        apart(spot, spots[:place])


def test_a_box_takes_lying_what_does_not_stand_under_the_line() -> None:
    bottles = [Size(240, 68)] * 8
    assert fit_standing(BOX, 200, bottles).placed == 0
    lying = fit_lying(BOX, 200, bottles)
    # two end to end along 500 mm, four such rows beside each other in 310 mm
    assert (lying.all, lying.layers) == (True, 1)
    assert fit_lying(BOX, 200, [Size(240, 68)] * 24).layers == 2
    assert "too long" in fit_lying(BOX, 200, [Size(505, 68)]).why_not


def test_bars_lie_along_the_side_that_takes_more() -> None:
    # 240 mm bars do not go end to end across 300, and side by side along 500 there is room for six
    assert len(Rectangle(500, 300).lay([Size(240, 68)] * 9)) == 8
    assert len(Rectangle(460, 300).lay([Size(240, 68)] * 9)) == 6
