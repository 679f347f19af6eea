"""Plates made of stored pictures: each look, round and unrolled, and what each needs."""

from functools import lru_cache

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.photos.imaging import ImagingError
from catalogue.photos.models import Photo
from catalogue.photos.plates import (
    MovableLamp,
    PlateLook,
    PlateShape,
    PlateShot,
    Recipe,
    keep_plate,
    plate,
    relief_map,
    surfaces_of,
)
from catalogue.photos.plates.layout import scale_of
from catalogue.photos.plates.recipe import METHOD_WORDS, caption_of, how_made, place_of
from catalogue.photos.plates.saving import as_jpeg, as_png
from catalogue.photos.plates.surfaces import SURFACES_KEPT, forget
from catalogue.photos.services import store
from tests.photos.imaging.rendered import Base, base, lit, photographed, raised_letters

SIDE = 240
HOURS = (0.0, 3.0, 6.0, 9.0)


@pytest.fixture(autouse=True)
def nothing_kept():
    forget()
    yield
    forget()


@lru_cache(maxsize=1)
def rendered() -> Base:
    return base("BW6", size=SIDE, tall=30, first_deg=20)


@lru_cache(maxsize=8)
def png(hour: float) -> bytes:
    height = raised_letters(rendered().mask, tall_px=1.2)
    return as_png(photographed(lit(height, hour, 25.0), 0.004, np.random.default_rng(int(hour))))


def recipe(hours: tuple[float, ...] = HOURS, *, rim: bool = True, lamps: bool = True, **more) -> Recipe:
    shots = []
    for pk, hour in enumerate(hours, start=1):
        facts = store(SimpleUploadedFile(f"lamp {hour:g}.png", png(hour)))
        shots.append(PlateShot(facts["sha256"], facts["format"], SIDE, SIDE, pk))
    marked = tuple(place_of(point, SIDE, SIDE) for point in rendered().rim(5)) if rim else ()
    return Recipe(tuple(shots), hours if lamps and len(hours) > 1 else None, rim=marked, **more)


def test_one_picture_shows_itself_and_its_contrast():
    made = recipe(HOURS[:1], rim=False)
    surfaces = surfaces_of(made)
    assert surfaces.looks == [PlateLook.PLAIN, PlateLook.CONTRAST]
    assert plate(surfaces, made, PlateLook.PLAIN, PlateShape.ROUND).shape == (SIDE, SIDE, 3)
    with pytest.raises(ImagingError, match="rim was marked"):
        plate(surfaces, made, PlateLook.PLAIN, PlateShape.STRIP)


@pytest.mark.parametrize(
    ("look", "says"),
    [
        (PlateLook.VARIATION, "several pictures lit from different sides"),
        (PlateLook.RAISED, "where the lamp stood"),
        (PlateLook.RELIT, "Lighting anew"),
    ],
)
def test_a_look_says_what_it_needs(look, says):
    made = recipe(HOURS[:1])
    with pytest.raises(ImagingError, match=says):
        plate(surfaces_of(made), made, look, PlateShape.ROUND)
    with pytest.raises(ImagingError, match="Lighting anew"):
        relief_map(surfaces_of(made), made)


def test_without_lamps_there_is_variation_and_no_relief():
    made = recipe(lamps=False)
    assert surfaces_of(made).looks == [PlateLook.PLAIN, PlateLook.CONTRAST, PlateLook.VARIATION]


@pytest.mark.parametrize("look", PlateLook)
@pytest.mark.parametrize("shape", PlateShape)
def test_every_look_in_both_shapes(look, shape):
    made = recipe(middle=place_of(rendered().middle, SIDE, SIDE))
    layer = plate(surfaces_of(made), made, look, shape, MovableLamp(clock=9))
    high, wide = layer.shape[:2]
    assert layer.dtype == np.uint8 and layer.std() > 3
    assert high == wide if shape == PlateShape.ROUND else wide > 3 * high


def test_a_lamp_that_moves_lights_the_other_flank():
    made = recipe()
    left, right = (
        plate(surfaces_of(made), made, PlateLook.RELIT, PlateShape.ROUND, MovableLamp(clock=hour)).astype(int)
        for hour in (9, 3)
    )
    middle = slice(len(left) // 4, -len(left) // 4)
    assert np.corrcoef(left[middle, middle].ravel(), right[middle, middle].ravel())[0, 1] < 0.3


@pytest.mark.parametrize("rim", [True, False])
def test_the_relief_map_keeps_the_lean_within_its_scale(rim):
    made = recipe(rim=rim, turn_deg=90)
    colours, scale = relief_map(surfaces_of(made), made)
    assert colours.dtype == np.uint8 and colours.shape[2] == 3
    assert scale == scale_of(surfaces_of(made)) >= 0.05
    # The ground faces the camera: no lean in the middle of most places.
    assert abs(float(np.median(colours[..., :2])) - 128) <= 3


def test_the_latest_surfaces_are_kept_and_the_oldest_let_go():
    kept = [recipe(HOURS[:1], turn_deg=turn, rise_deg=20 + turn) for turn in range(SURFACES_KEPT + 1)]
    first = surfaces_of(kept[0])
    assert surfaces_of(kept[0]) is first
    for each in kept[1:]:
        surfaces_of(each)
    assert surfaces_of(kept[0]) is not first


def test_a_plate_is_kept_private_with_how_it_was_made(find):
    made = recipe(turn_deg=30)
    kept = keep_plate(find, made, PlateLook.RAISED, PlateShape.ROUND)
    assert (kept.role, kept.format, kept.opened) == (Photo.Role.PLATE, "PNG", False)
    assert kept.caption == "Plate of the base, what stands raised"
    assert "turned 30°" in kept.source and "lamp at 0, 3, 6, 9 o'clock, 25° high" in kept.source
    assert keep_plate(find, made, PlateLook.RAISED, PlateShape.ROUND) == kept


def test_how_it_was_made_in_words():
    one, lamps = recipe(HOURS[:1], rim=False), recipe(middle=(50.0, 50.0))
    assert caption_of(one, PlateLook.RELIT, PlateShape.ROUND) == "Plate of the picture, lit anew"
    assert (
        caption_of(lamps, PlateLook.PLAIN, PlateShape.STRIP) == "Plate of the base unrolled, as photographed"
    )
    assert "from picture 1 (SHA-256" in how_made(one, PlateLook.PLAIN, PlateShape.ROUND, MovableLamp())
    relit = how_made(lamps, PlateLook.RELIT, PlateShape.STRIP, MovableLamp(3, 20, 2))
    assert "middle 50.0 50.0" in relit and "lamp at 3 o'clock, 20° high, slopes × 2" in relit
    assert "lamp's places not recorded" in how_made(
        recipe(lamps=False), PlateLook.VARIATION, PlateShape.ROUND, MovableLamp()
    )
    many = Recipe(lamps.shots, lamps.clocks, rim=tuple((float(n), float(n)) for n in range(90)))
    assert len(how_made(many, PlateLook.PLAIN, PlateShape.ROUND, MovableLamp())) == 500
    assert set(METHOD_WORDS) == set(PlateLook)


def test_a_plate_to_look_at_is_a_jpeg():
    assert as_jpeg(np.zeros((8, 8), np.uint8)).startswith(b"\xff\xd8")
