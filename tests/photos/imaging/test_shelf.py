"""Bottles on a shelf are found and boxed, against the boxes they were drawn into."""

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.photos.imaging import ImagingError, find_bottles
from catalogue.photos.imaging.background import fit_background, otsu_threshold
from catalogue.photos.imaging.connected_components import connected_components, dilated
from demo_fixtures.draw.shelf import draw_shelf
from demo_fixtures.draw.specs import BottleSpec

from .racks import shared

ROW = (
    BottleSpec("beer", colour="amber", height_mm=230),
    BottleSpec("ink cone", colour="aqua", height_mm=120),
    BottleSpec("milk", colour="colourless", height_mm=210),
    BottleSpec("wine", colour="olive", height_mm=240),
    BottleSpec("panel medicine", colour="cobalt", height_mm=150),
)


@pytest.mark.parametrize(("seed", "growth"), [(1, 0.0), (2, 0.2)])
@pytest.mark.parametrize("times", [1, 2])
def test_each_bottle_gets_its_box(seed: int, growth: float, times: int) -> None:
    picture, drawn = draw_shelf(ROW * times, seed=seed, growth=growth, size=(1000, 400))
    found = find_bottles(np.asarray(picture))
    assert len(found) == len(drawn)
    for box, true in zip(found, drawn, strict=True):
        assert shared((box.left, box.top, box.right, box.bottom), true) > 0.6
        assert 0 < box.confidence <= 1


def test_touching_bottles_are_parted_at_the_valley() -> None:
    picture = np.full((300, 600, 3), 210, np.uint8)
    picture[255:] = (120, 90, 60)
    for left in (100, 180, 260):
        picture[140:262, left : left + 80] = (40, 90, 50)
        picture[70:140, left + 28 : left + 52] = (40, 90, 50)
    found = find_bottles(picture)
    assert [round(box.left, -1) for box in found] == [100, 180, 260]
    assert [box.top for box in found] == pytest.approx([70] * 3, abs=4)
    assert [box.bottom for box in found] == pytest.approx([262] * 3, abs=4)


def test_a_grey_picture_without_a_board_uses_its_whole_height() -> None:
    picture = np.full((300, 600), 210, np.uint8)
    for left in (100, 400):
        picture[60:300, left : left + 80] = 40
    found = find_bottles(picture)
    assert [box.left for box in found] == pytest.approx([100, 400], abs=2)
    assert [box.right for box in found] == pytest.approx([180, 480], abs=2)
    assert all(box.bottom >= 298 for box in found)


def test_an_empty_shelf_has_none() -> None:
    picture = np.full((300, 600, 3), 210, np.uint8)
    picture[255:] = (120, 90, 60)
    noise = np.random.default_rng(0).normal(0, 2, picture.shape)
    assert find_bottles(np.clip(picture + noise, 0, 255).astype(np.uint8)) == []


def test_a_sliver_is_refused() -> None:
    with pytest.raises(ImagingError, match="narrow"):
        find_bottles(np.zeros((30, 900), np.uint8))


@settings(max_examples=30)
@given(st.integers(0, 10**6), st.floats(0.2, 0.7))
def test_patches_as_another_program_finds_them(seed: int, share: float) -> None:
    mask = np.random.default_rng(seed).random((24, 31)) < share
    labels, found = connected_components(mask)
    count, theirs, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    assert len(found) == count - 1
    assert sorted(patch.pixels for patch in found) == sorted(stats[1:, cv2.CC_STAT_AREA].tolist())
    assert len(set(zip(labels.ravel().tolist(), theirs.ravel().tolist(), strict=True))) == count
    for patch in found:
        rows, columns = np.nonzero(labels == patch.label)
        box = (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)
        assert (patch.left, patch.top, patch.right, patch.bottom) == box


def test_grown_and_parted_as_another_program_does() -> None:
    rng = np.random.default_rng(4)
    mask = rng.random((40, 50)) < 0.1
    theirs = cv2.dilate(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    np.testing.assert_array_equal(dilated(mask, 2), theirs)
    inside = cv2.erode(theirs.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    np.testing.assert_array_equal(dilated(theirs, -1)[1:-1, 1:-1], inside[1:-1, 1:-1])
    heaps = np.concatenate([rng.normal(60, 10, 900), rng.normal(180, 15, 400)]).clip(0, 255)
    limit, _ = cv2.threshold(heaps.astype(np.uint8)[None], 0, 255, cv2.THRESH_OTSU)
    assert otsu_threshold(heaps.astype(np.float32), 256) == pytest.approx(limit, abs=8)


def test_a_ground_of_which_hardly_anything_shows_is_refused() -> None:
    known = np.zeros((40, 40), dtype=np.bool_)
    known[0, :5] = True
    with pytest.raises(ImagingError, match="Too little of the ground"):
        fit_background(np.zeros((40, 40, 3), np.float32), known)


def test_what_lies_far_off_does_not_bend_the_ground() -> None:
    """A sloping ground with a strange patch in it, as `known` by mistake."""
    slope = np.linspace(0.3, 0.6, 60, dtype=np.float32)[None, :, None].repeat(60, axis=0)
    seen = slope.copy()
    seen[10:25, 10:25] = 0.95
    ground, spread = fit_background(seen, np.ones((60, 60), dtype=np.bool_), degree=1)
    assert np.abs(ground - slope).max() < 0.01 and spread[0] < 0.02
