"""Pictures of a piece that was nudged between shots are laid on each other again."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.imaging import raking_relief
from catalogue.photos.imaging.registration import phase_correlation

from .rendered import base, lit, photographed, raised_letters

CLOCK = [0, 1.5, 3, 4.5, 6, 7.5, 9, 10.5]
MADE = base(size=480, tall=36)


def shots(moves, noise: float = 0.01) -> list[np.ndarray]:
    """Picture k is moved right, down (pixels) and turned clockwise (degrees) by `moves[k]`."""
    rng = np.random.default_rng(3)
    size = MADE.mask.shape[0]
    y, x = np.mgrid[0:size, 0:size]
    round_edge = np.clip(MADE.radius - np.hypot(x - MADE.middle[0], y - MADE.middle[1]), 0, 12)
    height = raised_letters(MADE.mask, 1.5) + round_edge * 0.4
    out = []
    for hour, (right, down, turn) in zip(CLOCK, moves, strict=True):
        matrix = cv2.getRotationMatrix2D((size / 2 - 0.5, size / 2 - 0.5), -turn, 1)
        matrix[:, 2] += right, down
        light = cv2.warpAffine(lit(height, hour, 30), matrix, (size, size), borderMode=cv2.BORDER_REPLICATE)
        out.append(photographed(light, noise, rng))
    return out


def test_moves_are_found_to_a_part_of_a_pixel() -> None:
    rng = np.random.default_rng(8)
    moves = [(0, 0, 0), *((*rng.uniform(-9, 9, 2), rng.uniform(-1, 1)) for _ in CLOCK[1:])]
    relief = raking_relief(shots(moves))
    for found, (right, down, turn) in zip(relief.moves, moves, strict=True):
        assert found.right_px == pytest.approx(right, abs=0.6)
        assert found.down_px == pytest.approx(down, abs=0.6)
        assert np.degrees(np.arctan2(found.b, 1 + found.a)) == pytest.approx(turn, abs=0.15)


def test_laid_on_each_other_the_lettering_is_sharper_than_not() -> None:
    rng = np.random.default_rng(9)
    moved = shots([(0, 0, 0), *((*rng.uniform(-6, 6, 2), 0) for _ in CLOCK[1:])])
    still = raking_relief(shots([(0, 0, 0)] * 8), align=False).variation

    def likeness(variation: np.ndarray) -> float:
        inner = (slice(20, -20), slice(20, -20))
        return float(np.corrcoef(variation[inner].ravel(), still[inner].ravel())[0, 1])

    assert likeness(raking_relief(moved).variation) > 0.96
    assert likeness(raking_relief(moved, align=False).variation) < 0.9


@settings(max_examples=15)
@given(st.floats(-20, 20), st.floats(-20, 20))
def test_a_shift_of_one_picture_is_found_as_another_program_finds_it(right: float, down: float) -> None:
    rng = np.random.default_rng(1)
    field = cv2.GaussianBlur(rng.normal(size=(240, 260)), (0, 0), 3).astype(np.float32)
    still = field[40:200, 40:220]
    matrix = np.float32([[1, 0, right], [0, 1, down]])
    other = cv2.warpAffine(field, matrix, field.shape[::-1], flags=cv2.INTER_CUBIC)[40:200, 40:220]
    found = phase_correlation(still, other)
    assert found == pytest.approx((right, down), abs=0.25)
    window = np.outer(np.hanning(160), np.hanning(180)).astype(np.float32)
    theirs, _ = cv2.phaseCorrelate(still, other, window)
    assert found == pytest.approx(theirs, abs=0.35)
