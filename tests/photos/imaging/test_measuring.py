"""Sizes with their errors, and sharpness."""

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError, distance_px, focus, measure


def test_a_bottle_beside_a_ruler() -> None:
    got = measure(1000, 100, 2200, camera_mm=600, tap_px=2, depth_error_mm=5)
    assert got.mm == pytest.approx(220)
    # By hand: taps 2√2/1000 and 2√2/2200, depth 5/600, lens 0.005; doubled.
    shares = np.array([np.hypot(2 * 2**0.5 / 1000, 2 * 2**0.5 / 2200), 5 / 600, 0.005])
    assert got.error_mm == pytest.approx(2 * 220 * np.sqrt((shares**2).sum()))
    assert got.parts_mm["depth"] == pytest.approx(2 * 220 * 5 / 600)
    assert got.parts_mm["scale"] == 0


def test_nearer_by_a_twentieth_reads_a_twentieth_large() -> None:
    assert measure(100, 20, 1000, camera_mm=500, nearer_mm=25).mm == pytest.approx(200 * 0.95)


def test_true_sizes_lie_within_the_stated_error() -> None:
    """Simulated pictures with just these causes of error: 19 of 20 lie within, and not nearly all."""
    rng, within = np.random.default_rng(7), 0
    for _ in range(2000):
        true, camera, depth = 220.0, 500.0, rng.normal(0, 5)
        per_mm = 4.0 * camera
        lens = 1 + rng.normal(0, 0.005)
        ends = rng.normal(0, 2, 4)
        scale_px = per_mm / camera * 50 + ends[0] - ends[1]
        object_px = per_mm / (camera - depth) * true * lens + ends[2] - ends[3]
        got = measure(scale_px, 50, object_px, camera_mm=camera, tap_px=2, depth_error_mm=5)
        within += abs(got.mm - true) <= got.error_mm
    assert 0.93 < within / 2000 < 0.98


@given(st.floats(10, 5000), st.floats(1, 1000), st.floats(1, 5000), st.floats(1.1, 5))
def test_a_better_scale_or_finer_tap_never_makes_it_worse(scale_px, scale_mm, object_px, finer) -> None:
    coarse = measure(scale_px, scale_mm, object_px, tap_px=3)
    fine = measure(scale_px, scale_mm, object_px, tap_px=3 / finer)
    assert fine.mm == coarse.mm
    assert 0 < fine.error_mm < coarse.error_mm
    twice = measure(scale_px, scale_mm, 2 * object_px)
    assert twice.mm == pytest.approx(2 * measure(scale_px, scale_mm, object_px).mm)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: measure(0, 10, 10), "scale in pixels"),
        (lambda: measure(10, -1, 10), "scale in mm"),
        (lambda: measure(10, 10, float("nan")), "object in pixels"),
        (lambda: measure(10, 10, 10, tap_px=-1), "0 or more"),
        (lambda: measure(10, 10, 10, nearer_mm=float("inf")), "0 or more"),
        (lambda: measure(10, 10, 10, camera_mm=20, nearer_mm=30), "further away"),
    ],
)
def test_refused(ask, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        ask()


def test_distance() -> None:
    assert distance_px((1, 2), (4, 6)) == 5


def test_sharpness_as_another_program_and_less_when_softened() -> None:
    picture = np.random.default_rng(3).integers(0, 255, (90, 120), dtype=np.uint8)
    theirs = cv2.Laplacian(picture, cv2.CV_64F)[1:-1, 1:-1].var()
    assert focus(picture) == pytest.approx(theirs, rel=1e-3)
    assert focus(cv2.GaussianBlur(picture, (0, 0), 2)) < 0.1 * focus(picture)
    assert focus(np.full((20, 20), 90, np.uint8)) == 0
