"""Pictures and lamps that hold no relief are refused in a sentence."""

import numpy as np
import pytest

from catalogue.photos.imaging import ImagingError, as_plate, raised, raking_relief, relight

NOISE = [np.random.default_rng(k).integers(40, 200, (64, 64), dtype=np.uint8) for k in range(5)]
FLAT = [np.full((64, 64), 120, np.uint8)] * 4


@pytest.mark.parametrize(
    ("pictures", "clock", "elevation", "says"),
    [
        (NOISE[:2], None, 25, "3 to 24 pictures"),
        (NOISE * 6, None, 25, "3 to 24 pictures"),
        ([*NOISE[:3], np.zeros((64, 65), np.uint8)], None, 25, "Picture 4 has another size"),
        (NOISE, [0, 3], 25, "5 pictures but 2 places"),
        (NOISE[:3], [0, 3, 13], 25, "hour of the clock"),
        (NOISE[:3], [0, 3, float("nan")], 25, "hour of the clock"),
        (NOISE[:3], [0, 4, 8], 0, "angle above 0"),
        (NOISE[:3], [0, 4, 8], [20, 30], "one for each"),
        (NOISE[:3], [0, 4, 8], 90, "different sides"),
        (NOISE[:3], [3, 3, 3], 25, "different sides"),
        (NOISE[:3], [3, 9, 3], 25, "different sides"),
        (FLAT, None, 25, "nothing that it could be laid on"),
        ([np.zeros((64, 64), np.uint8)] * 4, None, 25, "nothing|black"),
    ],
)
def test_refused(pictures, clock, elevation, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        raking_relief(pictures, clock, elevation)


def test_black_pictures_are_refused_also_without_aligning() -> None:
    with pytest.raises(ImagingError, match="black"):
        raking_relief([np.zeros((64, 64), np.uint8)] * 4, align=False)


def test_large_pictures_are_made_smaller_first() -> None:
    wide = [np.kron(p, np.ones((4, 8), np.uint8)) for p in NOISE]
    for kind in (wide, [np.dstack([p] * 3) for p in wide], [p / 255.0 for p in wide]):
        relief = raking_relief(kind, align=False, longest_px=128)
        assert relief.variation.shape == (64, 128)
        assert relief.shrunk == 4


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: relight(np.zeros((2, 9, 9), np.float32), 3, 25), "3 by height"),
        (lambda: relight(np.zeros((3, 9, 9), np.float32), 3, 25, exaggerate=0), "steep"),
        (lambda: relight(np.zeros((3, 9, 9), np.float32), 3, 25, albedo=np.zeros((8, 9))), "another size"),
        (lambda: relight(np.zeros((3, 9, 9), np.float32), 15, 25), "hour of the clock"),
        (lambda: as_plate(np.zeros(9)), "map of numbers"),
        (lambda: raised(np.full((9, 9), np.nan, np.float32)), "map of numbers"),
        (lambda: raised(np.zeros((9, 9), np.float32), shading=0), "Shading"),
    ],
)
def test_plates_refused(ask, says: str) -> None:
    with pytest.raises(ImagingError, match=says):
        ask()


def test_an_even_surface_has_nothing_raised() -> None:
    assert (raised(np.full((40, 40), 3.0, np.float32)) == 0.5).all()
    assert (as_plate(np.zeros((40, 40))) == 128).all()
