"""A picture laid on another by marks tapped in both, against the transform it was moved by."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError
from catalogue.photos.imaging.laying import laid_over, lay_by_marks

MARKS = [(120.0, 40.0), (60.0, 210.0), (190.0, 330.0), (110.0, 340.0)]


def moved(points, turn: float, size: float, right: float, down: float) -> list[tuple[float, float]]:
    spin = size * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return [tuple(place) for place in (np.asarray(points) @ spin.T + (right, down)).tolist()]


@given(st.floats(-0.4, 0.4), st.floats(0.5, 2.0), st.floats(-80, 80), st.sampled_from([3, 4]))
def test_what_was_turned_sized_and_shifted_is_found_again(turn, size, shift, count) -> None:
    other = moved(MARKS[:count], turn, size, shift, -shift)
    laying = lay_by_marks(MARKS[:count], other)
    assert laying.residual_px < 1e-6
    x, y, _ = laying.matrix @ (150, 150, 1)
    assert (x, y) == pytest.approx(moved([(150, 150)], turn, size, shift, -shift)[0], abs=1e-6)


def test_marks_tapped_carelessly_leave_their_error() -> None:
    other = [(x + by, y) for (x, y), by in zip(MARKS[:3], (4, -4, 4), strict=True)]
    assert 1 < lay_by_marks(MARKS[:3], other).residual_px < 6


@pytest.mark.parametrize(
    ("first", "second", "why"),
    [
        (MARKS[:2], MARKS[:2], "at least three"),
        (MARKS[:3], MARKS, "at least three"),
        ([(10, 10), (20, 20), (30, 30.2)], MARKS[:3], "on one line"),
        (MARKS[:3], [(5, 5), (5, 50), (5, 90)], "on one line"),
        ([(10, 10)] * 3, MARKS[:3], "on one line"),
    ],
)
def test_marks_that_can_not_lay_a_picture_are_refused(first, second, why) -> None:
    with pytest.raises(ImagingError, match=why):
        lay_by_marks(first, second)


def test_the_picture_is_drawn_in_the_other_frame() -> None:
    first = np.zeros((100, 80, 3), np.uint8)
    first[40:50, 30:40] = 255
    laying = lay_by_marks([(30, 40), (40, 40), (30, 50)], [(60, 80), (80, 80), (60, 100)])
    laid = laid_over(first, laying, 160, 200)
    assert laid.shape == (200, 160, 3)
    assert laid[90, 70].min() > 240 and laid[90, 50].max() < 15
    rows = np.flatnonzero(laid[:150, 70, 0] > 128)
    assert (rows[0], rows[-1]) == pytest.approx((80, 99), abs=1)
