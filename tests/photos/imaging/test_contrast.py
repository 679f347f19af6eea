"""Equalising against another program, shading against none, and what stays even."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError, local_contrast
from catalogue.photos.imaging.clahe import clahe
from catalogue.photos.imaging.gaussian_blur import gaussian_blur

from .rendered import base, lit, raised_letters

FAINT = lit(raised_letters(base(size=256, tall=20).mask, 0.8), 10, 25).astype(np.float32)


@pytest.mark.parametrize("clip", [2.0, 4.0])
def test_equalised_as_another_program_does(clip: float) -> None:
    grey = np.round(FAINT * 255).astype(np.uint8)
    theirs = cv2.createCLAHE(clipLimit=clip, tileGridSize=(8, 8)).apply(grey) / 255.0
    ours = clahe(grey / np.float32(255), (8, 8), clip)
    assert np.abs(ours - theirs).mean() < 0.02
    assert np.corrcoef(ours.ravel(), theirs.ravel())[0, 1] > 0.97


@pytest.mark.parametrize("sigma", [0.7, 2.0, 4.9, 9.0, 40.0])
def test_softened_as_another_program_does(sigma: float) -> None:
    grain = np.random.default_rng(0).normal(size=(330, 360)).astype(np.float32)
    field = grain if sigma < 5 else cv2.GaussianBlur(grain, (0, 0), 5) * np.float32(15)
    theirs = cv2.GaussianBlur(field, (0, 0), sigma, borderType=cv2.BORDER_REPLICATE)
    margin = int(3 * sigma) + 1
    inner = (slice(margin, -margin), slice(margin, -margin))
    assert np.abs(gaussian_blur(field, sigma) - theirs)[inner].max() < 0.25 * theirs[inner].std() + 0.002


@settings(max_examples=15)
@given(st.floats(0.05, 0.95), st.sampled_from([(40, 60), (9, 200), (128, 128)]))
def test_an_even_picture_stays_even(level: float, shape: tuple[int, int]) -> None:
    assert np.ptp(local_contrast(np.full(shape, level, np.float32))) < 0.02


@settings(max_examples=15)
@given(st.floats(0.3, 1.0))
def test_a_dimmer_lamp_changes_little(dimmer: float) -> None:
    bright, dim = local_contrast(FAINT), local_contrast(FAINT * np.float32(dimmer))
    assert 0 <= dim.min() <= dim.max() <= 1
    assert np.corrcoef(bright.ravel(), dim.ravel())[0, 1] > 0.95


def test_colours_and_strips_are_taken() -> None:
    strip = np.tile(np.round(FAINT[100:140] * 255).astype(np.uint8), (1, 6))
    assert local_contrast(np.dstack([strip] * 3)).shape == strip.shape


@pytest.mark.parametrize("wrong", [{"shading": 0}, {"soften_px": -1}, {"clip": 0.5}, {"tiles": 0}])
def test_refused(wrong) -> None:
    with pytest.raises(ImagingError, match="Shading is a share"):
        local_contrast(FAINT, **wrong)
