"""Lines on a vessel, and whether pieces go in."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.care.glass_volume import glass_ml, inside_ml, outside_ml
from catalogue.care.vessel_shape import GAP_MM, Shape, Size, fit_lying, fit_standing, stand

TUB = Shape(top_mm=300, bottom_mm=260, height_mm=330)
mm = st.floats(30, 900)


def test_a_straight_one_is_a_cylinder() -> None:
    assert Shape(200, 200, 300).volume_ml == pytest.approx(math.pi * 100**2 * 300 / 1000)


def test_one_that_ends_in_a_point_is_a_cone() -> None:
    assert Shape(200, 0, 300).volume_ml == pytest.approx(math.pi * 100**2 * 300 / 3000)


@given(top=mm, bottom=mm, height=mm, share=st.floats(0.01, 1))
def test_a_line_is_where_its_volume_stands(top: float, bottom: float, height: float, share: float) -> None:
    shape = Shape(top, bottom, height)
    line = shape.height_of(shape.volume_ml * share)
    assert shape.volume_to(line) == pytest.approx(shape.volume_ml * share, rel=1e-6)


def test_six_soda_bottles_stand_in_a_tub() -> None:
    fit = fit_standing(TUB, 264, [Size(240, 68)] * 6)
    assert fit.all and len(fit.spots) == 6


def test_one_that_is_too_tall_is_said_to_stand_out() -> None:
    fit = fit_standing(TUB, 200, [Size(240, 68), Size(150, 60)])
    assert (fit.placed, fit.of) == (1, 2)
    assert "1 would stand out" in fit.why_not


def test_seven_equal_circles_fit_where_geometry_says_and_not_in_less() -> None:
    """Seven equal circles need a circle of three times their width (elementary)."""
    assert len(stand(3 * (68 + GAP_MM) - GAP_MM + 0.01, [68] * 7)) == 7
    assert len(stand(2.8 * 68, [68] * 7)) < 7


@given(room=st.floats(100, 600), widths=st.lists(st.floats(20, 150), max_size=14))
def test_no_layout_overlaps_or_sticks_out(room: float, widths: list[float]) -> None:
    spots = stand(room, widths)
    for place, a in enumerate(spots):
        assert math.hypot(a.x, a.y) + a.width / 2 <= room / 2 + 1e-6
        for b in spots[:place]:
            assert math.hypot(a.x - b.x, a.y - b.y) >= (a.width + b.width) / 2 + GAP_MM - 1e-5


def test_lying_pieces_are_counted_by_layers() -> None:
    fit = fit_lying(TUB, 264, [Size(240, 68)] * 12)
    assert (fit.placed, fit.layers) == (3, 3)
    assert "layers" in fit.why_not
    assert fit_lying(TUB, 264, [Size(140, 50)] * 4).all
    assert "too long" in fit_lying(TUB, 264, [Size(400, 68)]).why_not


def test_glass_from_mass_outline_or_not_at_all() -> None:
    assert glass_ml(mass_g=500).ml == pytest.approx(200)
    straight = outside_ml([(0, 1), (1, 1)], 200, 60)
    assert straight == pytest.approx(math.pi * 30**2 * 200 / 1000)
    assert glass_ml(outside=straight, capacity_ml=350).ml == pytest.approx(straight - 350)
    assert "guess" in glass_ml(outside=straight).how
    # a capacity that can't go into the outline is not believed
    assert glass_ml(outside=300, capacity_ml=350).how == "from its outline, a guess"
    assert "guess" in glass_ml(capacity_ml=350).how
    assert glass_ml().ml is None and "weigh" in glass_ml().how


def test_what_a_piece_takes_in() -> None:
    assert inside_ml(capacity_ml=350).ml == 350
    assert inside_ml(outside=574, mass_g=560).ml == pytest.approx(574 - 224)
    assert 0 < inside_ml(outside=574).ml < 574
    assert inside_ml().ml is None
