"""The drawn pictures: the same each time, of the size asked for, small as files, readable where it counts."""

from itertools import combinations
from typing import get_args

import numpy as np
import pytest
from PIL import Image

from demo_fixtures.draw import (
    GLASSES,
    PROFILES,
    BaseMark,
    BottleSpec,
    FiredLabel,
    Line,
    base_height,
    draw_base,
    draw_base_lights,
    draw_bottle,
    draw_shelf,
    draw_site,
    to_jpeg,
)
from demo_fixtures.draw.bottle import SIZE
from demo_fixtures.draw.finishes import FINISHES
from demo_fixtures.draw.pose import PutDown
from demo_fixtures.draw.solid import build_solid
from demo_fixtures.draw.specs import Bed

SMALL = (180, 240)
MARK = BaseMark("T&H", "hexagon", right="36", town="MARROWBY")
SODA = BottleSpec("tall soda", "aqua", 240, 62, embossing=(Line("MARROWBY", 11, 0.4),))


def grey(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("L"), dtype=float)


def middle_colour(picture: Image.Image) -> np.ndarray:
    """Mean colour of the belly of an upright bottle."""
    width, height = picture.size
    part = picture.crop((int(width * 0.46), int(height * 0.55), int(width * 0.54), int(height * 0.75)))
    return np.asarray(part, dtype=float).reshape(-1, 3).mean(axis=0)


@pytest.mark.parametrize("ground", ["paper", "bench", "seabed"])
def test_the_same_seed_gives_the_same_picture_and_another_seed_another(ground):
    first = draw_bottle(SODA, growth=0.8, seed=4, size=SMALL, ground=ground)
    again = draw_bottle(SODA, growth=0.8, seed=4, size=SMALL, ground=ground)
    other = draw_bottle(SODA, growth=0.8, seed=5, size=SMALL, ground=ground)
    assert first.tobytes() == again.tobytes()
    assert first.tobytes() != other.tobytes()
    assert first.size == SMALL


def test_each_kind_of_bed_looks_like_no_other():
    """By the mean colour of the water above and of the bed beside the find, in steps of 8-bit colour."""
    seen = {
        bed: np.asarray(draw_bottle(SODA, growth=0.5, seed=4, size=SMALL, ground="seabed", bed=bed), float)
        for bed in get_args(Bed)
    }
    told = {bed: np.r_[p[:60].mean(axis=(0, 1)), p[200:, :50].mean(axis=(0, 1))] for bed, p in seen.items()}
    assert len(told) == 4
    for one, other in combinations(told.values(), 2):
        assert np.abs(one - other).max() > 20


def test_a_piece_set_down_again_is_pictured_moved_and_no_different():
    still = draw_bottle(SODA, seed=4, size=SMALL)
    moved = draw_bottle(SODA, seed=4, size=SMALL, put_down=PutDown(right_px=12))
    apart = [
        np.abs(np.roll(grey(still), by, axis=1) - grey(moved))[60:200, 70:170].mean() for by in (0, 6, 12, 18)
    ]
    assert np.argmin(apart) == 2


@pytest.mark.parametrize("profile", sorted(PROFILES))
def test_every_profile_stands_out_from_its_ground(profile):
    spec = BottleSpec(profile, "amber", 200, 64)
    picture = grey(draw_bottle(spec, seed=1, size=SMALL))
    if not PROFILES[profile].stands:
        picture = picture.T
    edges = np.abs(np.diff(picture, axis=1)).max(axis=1)
    assert (edges > 25).mean() > 0.6


def test_there_are_profiles_and_finishes_enough():
    assert len(PROFILES) >= 14
    assert {profile.finish for profile in PROFILES.values()} <= set(FINISHES)


@pytest.mark.parametrize("profile", sorted(PROFILES))
def test_a_vessel_is_hollow_with_a_wall_all_round(profile):
    solid = build_solid(BottleSpec(profile, height_mm=200, diameter_mm=64))
    above_floor = solid.outer.shape[1] // 4
    wall = (solid.outer[0] - solid.inner[0])[above_floor:]
    assert wall.min() > 0.8
    assert solid.inner[0][above_floor:].min() > 2
    assert solid.outer[0].max() == pytest.approx(32, abs=0.5)


def test_glass_lets_through_its_own_colour():
    seen = {
        name: middle_colour(draw_bottle(BottleSpec("beer", name), seed=2, size=SMALL)) for name in GLASSES
    }
    red, green, blue = range(3)
    assert seen["amber"][red] > seen["amber"][green] > seen["amber"][blue]
    assert seen["cobalt"][blue] > seen["cobalt"][red] + 40
    assert seen["emerald"][green] > seen["emerald"][red] + 40
    assert seen["aqua"].min() > seen["olive"].min()
    assert np.ptp(seen["colourless"]) < 25


def test_more_glass_swallows_more_light():
    glass = GLASSES["amber"]
    shares = glass.through(np.array([0.0, 4.0, 8.0], dtype=np.float32))
    assert shares[0] == pytest.approx(1)
    assert shares[2] == pytest.approx(shares[1] ** 2, rel=1e-5)


def test_lettering_and_labels_show():
    plain = BottleSpec("tall soda", "aqua", 240, 62)
    printed = BottleSpec("tall soda", "aqua", 240, 62, label=FiredLabel(("QUARL", "PIER")))
    faint = BottleSpec("tall soda", "aqua", 240, 62, label=FiredLabel(("QUARL", "PIER"), state="ghost"))
    bare, raised, bright, ghost = (
        grey(draw_bottle(spec, seed=3, size=(360, 480))) for spec in (plain, SODA, printed, faint)
    )
    belly = np.s_[240:420, 130:225]
    assert np.abs(raised - bare)[belly].max() > 30
    by_bright, by_ghost = (np.abs(picture - bare)[belly].mean() for picture in (bright, ghost))
    assert by_bright > 2 * by_ghost > 0.5


def test_growth_hides_glass_and_what_lay_in_the_silt_stays_clean():
    spec = BottleSpec("tall soda", "cobalt", 240, 62, lie="upright in silt")
    clean = grey(draw_bottle(spec, seed=6, size=(360, 480)))
    kept, grown = (
        np.abs(grey(draw_bottle(spec, growth=amount, seed=6, size=(360, 480))) - clean)
        for amount in (0.15, 1.0)
    )
    assert grown.mean() > 2 * kept.mean() > 0
    shoulder, foot = np.s_[150:230, 140:220], np.s_[380:430, 140:220]
    assert (grown[shoulder] > 12).mean() > 2 * (grown[foot] > 12).mean()


def letters_contrast(elevation_deg: float) -> float:
    """How far characters stand out, as a share of how bright the plain base is, under a lamp so high."""
    plain = BaseMark(colour=MARK.colour)
    lit = [
        grey(draw_base(mark, size=300, light_deg=300, elevation_deg=elevation_deg, seed=1, matte=True))
        for mark in (MARK, plain)
    ]
    middle = np.s_[80:250, 80:260]
    return float(np.abs(lit[0] - lit[1])[middle].mean() / lit[1][middle].mean())


def test_raking_light_reads_better_than_light_from_above():
    assert letters_contrast(15) > 2 * letters_contrast(80)


def test_the_lamp_goes_round_and_flanks_light_up_on_its_side():
    pictures = draw_base_lights(MARK, size=200, seed=1, matte=True)
    assert [at for at, _ in pictures] == [0, 45, 90, 135, 180, 225, 270, 315]
    height, _ = base_height(MARK, size=200, seed=1)
    slope_right, slope_down = np.gradient(height, axis=1), np.gradient(height, axis=0)
    inner = np.s_[50:150, 50:150]
    for at, picture in pictures:
        turn = np.radians(at)
        faces_lamp = -slope_right * np.sin(turn) + slope_down * np.cos(turn)
        together = np.corrcoef(faces_lamp[inner].ravel(), grey(picture)[inner].ravel())[0, 1]
        assert together > 0.7, f"lamp at {at} degrees"


def test_base_heights_are_in_mm_and_wear_takes_them_down():
    fresh, mm_per_px = base_height(MARK, size=400, seed=2)
    plain, _ = base_height(BaseMark(), size=400, seed=2)
    worn, _ = base_height(MARK, size=400, seed=2, wear=0.9)
    plain_worn, _ = base_height(BaseMark(), size=400, seed=2, wear=0.9)
    assert mm_per_px * 400 == pytest.approx(62 * 1.14)
    assert 0.5 < (fresh - plain).max() < 1.0
    assert (worn - plain_worn).max() < (fresh - plain).max()


@pytest.mark.parametrize("scar", ["pontil", "suction", "valve", "kick"])
def test_each_scar_changes_the_base(scar):
    plain, _ = base_height(BaseMark(), size=200)
    scarred, _ = base_height(BaseMark(scar=scar), size=200)
    assert np.abs(scarred - plain).max() > 0.2


def test_a_shelf_gives_each_bottle_its_own_box():
    specs = [
        BottleSpec("wine", "olive", 300, 76),
        BottleSpec("ink cone", "cobalt", 66, 60),
        BottleSpec("case", "olive", 250, 76),
    ]
    picture, boxes = draw_shelf(specs, seed=1, size=(600, 300))
    assert picture.size == (600, 300) and len(boxes) == 3
    for box, next_box in zip(boxes, boxes[1:], strict=False):
        assert box[2] <= next_box[0]
    heights = [bottom - top for _, top, _, bottom in boxes]
    assert heights[0] > heights[2] > heights[1]
    assert all(0 <= left < right <= 600 and 0 <= top < bottom <= 300 for left, top, right, bottom in boxes)


def test_sites_differ_by_name():
    names = [
        "Heron Ledge",
        "Old Ferry Stairs",
        "Tallow Cove",
        "Lantern Cove",
        "Packers' Pilings",
        "Whelk Bank",
    ]
    pictures = [draw_site(name, size=(160, 100)) for name in names]
    assert len({picture.tobytes() for picture in pictures}) == len(names)
    assert draw_site("Heron Ledge", size=(160, 100)).tobytes() == pictures[0].tobytes()


def test_the_whole_set_stays_small():
    """Sixty finds, each as found and after, thirty-five bases and two sets of eight, under 15 MB."""
    found = len(to_jpeg(draw_bottle(SODA, growth=1.0, seed=1, ground="seabed")))
    wet = len(to_jpeg(draw_bottle(SODA, growth=1.0, seed=1, ground="bench")))
    after = len(to_jpeg(draw_bottle(SODA, seed=1)))
    base = len(to_jpeg(draw_base(MARK, wear=0.6, growth=0.4, seed=1)))
    assert min(SIZE) >= 700
    assert 60 * max(found, wet) + 60 * after + (35 + 16) * base < 15_000_000


def test_an_unknown_name_is_refused():
    with pytest.raises(KeyError):
        draw_bottle(BottleSpec("teapot"), size=SMALL)
    with pytest.raises(KeyError):
        draw_bottle(BottleSpec("beer", "tartan"), size=SMALL)
