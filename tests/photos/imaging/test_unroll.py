"""The strip: its kind of numbers, its start and repeat, what another program makes of the same ring."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError, fit_rim, unroll

from .places import turn_of
from .rendered import base, painted

MADE = base("TERN&HOLLIS", size=400, tall=28)
PICTURE = painted(MADE)


def test_the_first_fifth_stands_again_at_the_end() -> None:
    strip = unroll(PICTURE, MADE.rim(3), width=1000)
    assert strip.turn_px == 1000
    assert strip.picture.shape[1] == 1200
    np.testing.assert_array_equal(strip.picture[:, :200], strip.picture[:, 1000:])


def test_agrees_with_another_program() -> None:
    wide = 1152
    strip = unroll(PICTURE[..., 0], MADE.rim(3), inner=0.02, repeat=0, width=wide).picture.astype(float)
    theirs = cv2.warpPolar(
        PICTURE[..., 0], (len(strip), wide), MADE.middle, MADE.radius, cv2.WARP_POLAR_LINEAR
    ).astype(float)
    # Theirs has a row for each angle from three o'clock clockwise and a column for each radius outward.
    share = 1 - 0.98 * (np.arange(len(strip)) + 0.5) / len(strip)
    turn = (np.arange(wide) + 0.5) / wide - 0.25
    at_column = np.broadcast_to((share * len(strip))[:, None], strip.shape).astype(np.float32)
    at_row = np.broadcast_to((turn % 1.0 * wide)[None, :], strip.shape).astype(np.float32)
    theirs = cv2.remap(theirs, at_column, at_row, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    inside = slice(4, round(0.9 * len(strip)))
    assert np.abs(strip[inside] - theirs[inside]).mean() < 1.5
    assert np.corrcoef(strip[inside].ravel(), theirs[inside].ravel())[0, 1] > 0.99


@settings(max_examples=12)
@given(st.integers(0, 359), st.booleans())
def test_another_start_only_shifts_the_strip(start: int, outward: bool) -> None:
    here = unroll(PICTURE, MADE.rim(3), outward=outward, width=720, repeat=0).picture.astype(int)
    there = unroll(PICTURE, MADE.rim(3), outward=outward, width=720, repeat=0, start_deg=start)
    back = np.roll(there.picture.astype(int), 2 * start if outward else -2 * start, axis=1)
    assert np.abs(back - here).mean() < 3


@settings(max_examples=12)
@given(st.floats(-720, 720), st.floats(0.05, 1.1))
def test_rim_goes_there_and_back(turn: float, share: float) -> None:
    rim = fit_rim([(100, 20), (190, 60), (180, 130), (90, 150), (20, 90)])
    back_turn, back_share = turn_of(rim, rim.at(turn, share))
    assert abs((back_turn - turn + 180) % 360 - 180) < 1e-6
    assert back_share == pytest.approx(share)


@settings(max_examples=25)
@given(
    st.floats(-500, 500),
    st.floats(-500, 500),
    st.floats(20, 900),
    st.floats(0.6, 1.0),
    st.floats(0, 180),
    st.integers(5, 12),
)
def test_an_ellipse_is_found_again(
    x: float, y: float, radius: float, flat: float, lean: float, count: int
) -> None:
    turns, lean = 2 * np.pi * np.arange(count) / count, np.radians(lean)
    a, b = radius * np.cos(turns), radius * flat * np.sin(turns)
    points = np.column_stack(
        [x + a * np.cos(lean) - b * np.sin(lean), y + a * np.sin(lean) + b * np.cos(lean)]
    )
    rim = fit_rim([tuple(p) for p in points.tolist()])
    assert rim.middle == pytest.approx((x, y), abs=1e-4 * radius)
    assert rim.radius_px == pytest.approx(radius, rel=1e-4)
    assert rim.flatness == pytest.approx(flat, rel=1e-3)
    assert rim.misfit_px < 1e-3 * radius
    assert rim.at(0)[0] == pytest.approx(x, abs=1e-3 * radius)


@pytest.mark.parametrize(
    "picture",
    [
        PICTURE[..., 0],
        PICTURE,
        np.dstack([PICTURE, np.full(PICTURE.shape[:2], 255, np.uint8)]),
        PICTURE.astype(np.uint16) * 257,
        (PICTURE / 255.0).astype(np.float32),
        PICTURE[..., 0] / 255.0,
    ],
    ids=["grey", "colour", "with transparency", "16 bits", "fractions", "grey fractions"],
)
def test_every_kind_of_picture_comes_back_as_it_was(picture: np.ndarray) -> None:
    strip = unroll(picture, MADE.rim(3), width=600).picture
    plain = unroll(PICTURE, MADE.rim(3), width=600).picture
    assert strip.dtype == picture.dtype
    assert strip.shape[2:] == picture.shape[2:]
    full = {"uint8": 255, "uint16": 65535}.get(picture.dtype.name, 1)
    first = strip if strip.ndim == 2 else strip[..., 0]
    assert np.abs(first / full - plain[..., 0] / 255).max() < 0.01


def test_a_small_strip_of_a_large_base_is_averaged() -> None:
    noisy = np.random.default_rng(0).integers(0, 255, (900, 900), dtype=np.uint8)
    strip = unroll(noisy, [(450, 10), (890, 450), (450, 890)], width=200, repeat=0)
    assert strip.picture.std() < 0.5 * noisy.std()


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([(1, 1), (2, 2)], "at least three"),
        ([(10, 10), (20, 20), (30, 30)], "on a line"),
        ([(10, 10)] * 3, "one place"),
        ([(10, 10)] * 6, "one place"),
        ([(0, 0), (10, 10), (20, 20), (30, 30), (40, 40)], "on a line"),
        ([(0, 0), (10, 0), (float("nan"), 5)], "outside"),
        ([(100, 100), (101, 100), (100, 101)], "too small"),
        ([(0, 0), (100, 0), (200, 0), (0, 10), (100, 10.5), (200, 10)], "ellipse|tilted|one side"),
        ([(200 + 150 * np.cos(t), 200 + 40 * np.sin(t)) for t in range(6)], "tilted too far"),
        ([(200 + 150 * np.cos(t), 200 + 150 * np.sin(t)) for t in (0, 0.2, 0.4, 0.6, 0.8)], "one side"),
    ],
)
def test_points_that_hold_no_rim(points, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        unroll(PICTURE, points)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"inner": 1.0, "outer": 0.5}, "ring"),
        ({"inner": 0}, "ring"),
        ({"repeat": 1.5}, "share of the turn"),
        ({"width": 3}, "pixels wide"),
        ({"width": 10**9}, "pixels wide"),
        ({"start_deg": float("inf")}, "degrees"),
        ({"middle": (0.0, 0.0)}, "too far"),
    ],
)
def test_what_can_not_be_asked(wrong, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        unroll(PICTURE, MADE.rim(5), **wrong)


@pytest.mark.parametrize(
    ("picture", "says"),
    [
        (np.zeros((4, 4), np.uint8), "too small"),
        (np.zeros((40, 40, 2), np.uint8), "channels"),
        (np.zeros(40, np.uint8), "array of height"),
        ("a picture", "array of height"),
        (np.zeros((40, 40), bool), "can't be read"),
        (np.full((40, 40), np.nan), "not numbers"),
        (np.full((40, 40), 200.0), "0 .black. to 1"),
        (np.broadcast_to(np.uint8(0), (20_000, 20_000)), "too large"),
    ],
)
def test_what_is_no_picture(picture, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        unroll(picture, MADE.rim(3))
