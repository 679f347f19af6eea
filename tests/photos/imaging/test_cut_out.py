"""Bottles cut out along their outline."""

import numpy as np
import pytest

from catalogue.photos.imaging.cut_out import cut_out
from tests.photos.imaging.bottle import HEIGHT, drawn, profile


def widths(cut: np.ndarray) -> np.ndarray:
    """Pixels across that are the bottle's, row by row."""
    return (cut[..., 3] / 255).sum(axis=1)


def test_a_cut_is_the_bottle_and_nothing_around_it() -> None:
    cut = cut_out(drawn(), 400)
    assert cut is not None and cut.shape[2] == 4
    assert cut.shape[0] == pytest.approx(400, abs=1)
    assert cut.shape[1] == pytest.approx(400 * 170 / HEIGHT, abs=4)
    share = 1 - (np.arange(len(cut)) + 0.5) / len(cut)
    inside = (share > 0.03) & (share < 0.9)
    off = widths(cut) - 2 * profile(share) * 400 / HEIGHT
    # A pixel less at both sides: the last one holds some of the ground.
    assert np.median(off[inside]) == pytest.approx(-1.6, abs=1.2)
    # Glass is darker than the ground it stood before.
    solid = cut[..., 3] > 250
    assert cut[..., :3][solid].mean() < drawn()[:40].mean() - 10
    assert cut[0, 0, 3] == 0 and cut[20, 2, 3] == 0


def test_a_leaning_bottle_stands_upright_in_its_cut() -> None:
    cut = cut_out(drawn(tilt_deg=6), 400)
    assert cut is not None
    middles = (cut[..., 3].astype(float) @ np.arange(cut.shape[1])) / np.maximum(cut[..., 3].sum(axis=1), 1)
    dark = cut[..., :3].mean(axis=2)
    # Its left and right walls are equally far from the axis, from lip to foot.
    assert np.ptp(middles[40:-20]) < 2
    rows = slice(250, 380)
    left, right = dark[rows, 3:9].mean(), dark[rows, -9:-3].mean()
    assert abs(left - right) < 25


def test_it_is_never_blown_up() -> None:
    cut = cut_out(drawn(), 4000)
    assert cut is not None and len(cut) == pytest.approx(HEIGHT, abs=6)


@pytest.mark.parametrize(
    "picture",
    [
        np.full((300, 200, 3), 180, np.uint8),
        np.random.default_rng(1).integers(0, 255, (300, 200, 3), dtype=np.uint8),
        drawn(tilt_deg=25),
        drawn(glass=0.02, noise=9),
    ],
    ids=["nothing there", "noise", "lying", "too faint"],
)
def test_what_has_no_sure_outline_is_not_cut(picture: np.ndarray) -> None:
    assert cut_out(picture, 400) is None
