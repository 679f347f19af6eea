"""The surface found from raking pictures against the one they were rendered from."""

import numpy as np
import pytest

from catalogue.photos.imaging import raking_relief, relight

from .rendered import base, lit, normals_of, photographed, raised_letters

EIGHT = [0, 1.5, 3, 4.5, 6, 7.5, 9, 10.5]
HEIGHT = raised_letters(base(size=360, tall=30).mask, 2.5, soft_px=2.2, dome_px=14)


def pictures(clock, noise: float, elevation: float = 40, seed: int = 1) -> list[np.ndarray]:
    rng = np.random.default_rng(seed)
    return [photographed(lit(HEIGHT, hour, elevation), noise, rng) for hour in clock]


def error_deg(normals: np.ndarray) -> float:
    """Mean angle between found and true normals."""
    return float(np.degrees(np.arccos(np.clip((normals * normals_of(HEIGHT)).sum(axis=0), -1, 1))).mean())


@pytest.mark.parametrize("clock", [EIGHT, EIGHT[::2], [0, 4, 8]], ids=["eight", "four", "three"])
def test_normals_within_three_degrees_on_a_dull_surface(clock) -> None:
    """Rendered and perfectly dull: a real, dulled piece of glass comes out worse."""
    relief = raking_relief(pictures(clock, 0.01), clock, 40, align=False)
    assert error_deg(relief.normals) < 3


def test_a_wrong_clock_is_noticed_by_this_test() -> None:
    relief = raking_relief(pictures(EIGHT, 0.01), EIGHT[::-1], 40, align=False)
    assert error_deg(relief.normals) > 6


def test_normals_are_of_unit_length_and_face_the_camera() -> None:
    relief = raking_relief(pictures(EIGHT, 0.05), EIGHT, 40, align=False)
    np.testing.assert_allclose((relief.normals**2).sum(axis=0), 1, atol=1e-4)
    assert (relief.normals[2] > 0).all()
    assert relief.slope_deg.max() < 90


def test_a_shadowed_or_shining_lamp_is_left_out() -> None:
    shots = pictures(EIGHT, 0.003)
    shots[2][100:140, 100:140] = 255
    shots[5][200:240, 200:240] = 0
    relief = raking_relief(shots, EIGHT, 40, align=False, level_light=False)
    off = np.degrees(np.arccos(np.clip((relief.normals * normals_of(HEIGHT)).sum(axis=0), -1, 1)))
    assert off[105:135, 105:135].mean() < 3
    assert off[205:235, 205:235].mean() < 3


def test_letters_are_as_high_as_they_were_made() -> None:
    relief = raking_relief(pictures(EIGHT, 0.005), EIGHT, 40, align=False)
    found, true = relief.height_px - relief.height_px.mean(), HEIGHT - HEIGHT.mean()
    assert np.corrcoef(found.ravel(), true.ravel())[0, 1] > 0.99
    assert np.abs(found - true).mean() < 0.1 * np.ptp(true)
    assert np.polyfit(true.ravel(), found.ravel(), 1)[0] == pytest.approx(1, abs=0.06)


def test_albedo_is_told_from_slope() -> None:
    rng = np.random.default_rng(5)
    paint = np.where(np.arange(HEIGHT.shape[1]) < 180, 0.4, 0.8)[None, :]
    shots = [photographed(lit(HEIGHT, hour, 40, albedo=1.0) * paint, 0.004, rng) for hour in EIGHT]
    relief = raking_relief(shots, EIGHT, 40, align=False)
    assert error_deg(relief.normals) < 3
    assert relief.albedo[:, 190:].mean() / relief.albedo[:, :170].mean() == pytest.approx(2, rel=0.05)


def test_exposure_that_changes_from_picture_to_picture_is_evened_out() -> None:
    rng = np.random.default_rng(6)
    exposed = [0.6, 0.7, 0.9, 1.0, 1.0, 0.9, 0.7, 0.6]
    shots = [photographed(lit(HEIGHT, h, 40) * e, 0.004, rng) for h, e in zip(EIGHT, exposed, strict=True)]
    levelled = error_deg(raking_relief(shots, EIGHT, 40, align=False).normals)
    as_exposed = error_deg(raking_relief(shots, EIGHT, 40, align=False, level_light=False).normals)
    assert levelled < 3
    assert as_exposed > 3


def test_lit_anew_as_it_would_have_been() -> None:
    relief = raking_relief(pictures(EIGHT, 0.004), EIGHT, 40, align=False, level_light=False)
    new = relight(relief.normals, 2.2, 30, albedo=relief.albedo)
    true = photographed(lit(HEIGHT, 2.2, 30), 0, np.random.default_rng(0)) / 255.0
    assert np.abs(new - true).mean() < 0.02


def test_steeper_slopes_show_more() -> None:
    normals = normals_of(HEIGHT).astype(np.float32)
    assert relight(normals, 9, 45, exaggerate=3).std() > 1.5 * relight(normals, 9, 45).std()


def test_a_lower_number_of_lamps_needs_no_clock() -> None:
    relief = raking_relief(pictures([0, 4, 8], 0.01), align=False)
    assert relief.normals is None
    assert relief.height_px is None
    assert relief.variation.shape == HEIGHT.shape
