"""Several raking pictures make readable what one can't: contrast and letters read, at stated noise."""

import cv2
import numpy as np
import pytest

from catalogue.photos.imaging import as_plate, local_contrast, raised, raking_relief, unroll

from .reading import edges, flat, one_sided, read, right_letters
from .rendered import base, lit, photographed, raised_letters

CLOCK = [0, 1.5, 3, 4.5, 6, 7.5, 9, 10.5]
TALL_PX = 0.3
NOISE = 0.2
MADE = base(size=700, tall=50)


@pytest.fixture(scope="module")
def pictures() -> list[np.ndarray]:
    """Lettering 0.3 pixels high under so much noise that one picture can't be read."""
    rng = np.random.default_rng(11)
    height = raised_letters(MADE.mask, TALL_PX)
    return [photographed(lit(height, clock, 25), NOISE, rng) for clock in CLOCK]


@pytest.fixture(scope="module")
def relief(pictures):
    return raking_relief(pictures, CLOCK, 25, align=False, soften_px=1.5)


def contrast(plate: np.ndarray, letters: np.ndarray, ground: np.ndarray) -> float:
    """How far the lettering's mean lies from the ground's, in standard deviations of the ground."""
    return abs(float(plate[letters].mean() - plate[ground].mean())) / float(plate[ground].std())


def ground_and_flanks() -> tuple[np.ndarray, np.ndarray]:
    height = raised_letters(MADE.mask, TALL_PX)
    down, right = np.gradient(height)
    steep = np.hypot(down, right)
    near = raised_letters(MADE.mask, 1.0, soft_px=8) > 0.005
    return ~near, steep > 0.3 * steep.max()


def share_read(plate: np.ndarray, looks) -> float:
    strip = unroll(as_plate(plate), MADE.rim(3), inner=0.4, outer=0.98)
    scale = strip.turn_px / (2 * np.pi * MADE.radius * MADE.share)
    return right_letters(read(strip, MADE, looks, round(50 * scale)), MADE)


def test_contrast_rises_at_least_fivefold(pictures, relief) -> None:
    ground, flanks = ground_and_flanks()
    single = max(contrast(picture.astype(float), flanks, ground) for picture in pictures)
    assert contrast(relief.variation, flanks, ground) >= 5 * single
    assert contrast(raised(relief.height_px), MADE.mask > 0.7, ground) >= 5 * max(
        contrast(picture.astype(float), MADE.mask > 0.7, ground) for picture in pictures
    )


def test_contrast_also_rises_over_the_single_picture_at_its_best(pictures, relief) -> None:
    """The single picture softened as the plate is, and light and dark flanks both counted as lettering."""
    ground, flanks = ground_and_flanks()
    best = 0.0
    for picture in pictures:
        soft = cv2.GaussianBlur(picture.astype(np.float32), (0, 0), 1.5)
        best = max(best, contrast(np.abs(soft - np.median(soft)), flanks, ground))
    assert contrast(relief.variation, flanks, ground) >= 3 * best


def test_one_picture_can_not_be_read_and_the_plates_can(pictures, relief) -> None:
    """The reader knows what each letter would look like and where it stands: an eye reads less."""
    singles = [share_read(picture.astype(float), one_sided) for picture in pictures[::2]]
    assert max(singles) <= 0.7
    assert np.mean(singles) <= 0.6
    assert share_read(relief.variation, edges) >= 0.75
    assert share_read(raised(relief.height_px), flat) >= 0.9


def test_local_contrast_lifts_what_shading_hid() -> None:
    """One picture with little noise, its light falling off steeply across it."""
    rng = np.random.default_rng(2)
    height = raised_letters(MADE.mask, 0.4)
    across = np.linspace(0.1, 1.4, height.shape[1])[None, :]
    picture = photographed(lit(height, 10.5, 25) * across, 0.002, rng)
    ground, flanks = ground_and_flanks()
    plate = local_contrast(picture)

    def spread(values: np.ndarray) -> float:
        """How much more the flanks vary than the ground does."""
        return float(np.abs(values[flanks] - np.median(values)).mean() / values[ground].std())

    assert spread(plate) > 2 * spread(picture.astype(float))
    assert share_read(plate, one_sided) >= 0.9

    def unlevel(values: np.ndarray) -> float:
        """By how much the ground's left and right thirds differ."""
        return abs(float(values[:, :233][ground[:, :233]].mean() - values[:, -233:][ground[:, -233:]].mean()))

    assert unlevel(picture / 255.0) > 0.25
    assert unlevel(plate) < 0.1
