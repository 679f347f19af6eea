"""Outlines of bottles drawn before a plain ground, against the profile they were drawn from."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError, bottle_outline
from tests.photos.imaging.bottle import HEIGHT, drawn, profile


def radius_error(outline) -> float:
    """Median difference of the radius in pixels, off the steps of lip and foot."""
    share = outline.height_px / outline.tall_px
    off = np.abs(outline.radius_px - profile(share))
    return float(np.median(off[(share > 0.03) & (share < 0.9)]))


def test_radius_and_height_of_clear_glass() -> None:
    outline = bottle_outline(drawn())
    assert outline.tall_px == pytest.approx(HEIGHT, abs=5)
    assert outline.wide_px == pytest.approx(170, abs=2)
    assert radius_error(outline) < 1
    assert outline.foot == pytest.approx((300, 600), abs=4)
    assert abs(outline.tilt_deg) < 0.3
    assert np.median(outline.confidence) > 0.8


@settings(max_examples=8)
@given(st.floats(-8, 8))
def test_a_leaning_bottle_is_measured_along_its_axis(tilt: float) -> None:
    outline = bottle_outline(drawn(tilt_deg=tilt))
    assert outline.tilt_deg == pytest.approx(tilt, abs=0.5)
    assert outline.tall_px == pytest.approx(HEIGHT, abs=16)
    assert outline.wide_px == pytest.approx(170, abs=4)
    assert radius_error(outline) < 2.5


def test_a_soft_shadow_does_not_widen_the_foot() -> None:
    outline = bottle_outline(drawn(shadow=True))
    assert outline.wide_px == pytest.approx(170, abs=3)
    assert radius_error(outline) < 1.5


def test_dark_glass_and_large_pictures() -> None:
    large = cv2.resize(drawn(glass=0.8), None, fx=3, fy=3, interpolation=cv2.INTER_LINEAR)
    outline = bottle_outline(large)
    assert outline.wide_px == pytest.approx(510, rel=0.02)
    assert outline.tall_px == pytest.approx(3 * HEIGHT, rel=0.02)


def block(high: int, wide: int, rows: tuple[int, int], columns: tuple[int, int]) -> np.ndarray:
    """A grey picture with a dark block before its ground."""
    picture = np.full((high, wide), 200, np.uint8)
    picture[slice(*rows), slice(*columns)] = 40
    return picture


def test_a_grey_picture_is_taken_as_well() -> None:
    outline = bottle_outline(block(500, 400, (120, 420), (150, 250)))
    assert outline.wide_px == pytest.approx(100, abs=2)
    assert outline.tall_px == pytest.approx(300, abs=6)


@pytest.mark.parametrize(
    ("picture", "says"),
    [
        (np.full((300, 200, 3), 200, np.uint8), "No bottle"),
        (drawn()[300:], "stand free"),
        (np.rot90(drawn()).copy(), "upright|stand free"),
        (np.zeros((5, 5), np.uint8), "too small"),
        (block(400, 600, (150, 250), (150, 450)), "upright"),
        (block(400, 400, (190, 200), (190, 205)), "No bottle"),
    ],
    ids=["empty", "cut off", "lying", "tiny", "broad", "a speck"],
)
def test_refused(picture: np.ndarray, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        bottle_outline(picture)
