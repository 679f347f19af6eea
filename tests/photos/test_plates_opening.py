"""The part of an original that a plate is made of, and a slanting base drawn straight."""

import io

import cv2
import numpy as np
import pytest
from PIL import Image

from catalogue.photos import files
from catalogue.photos.imaging import ImagingError, fit_rim
from catalogue.photos.plates.layout import BEYOND_RIM, straightened, turned_normals
from catalogue.photos.plates.recipe import (
    WHOLE_PICTURE,
    PlateShot,
    Recipe,
    pixel,
    place_of,
)
from catalogue.photos.plates.saving import as_png
from catalogue.photos.plates.surfaces import part_of
from catalogue.photos.services import store
from tests.photos.drawn import encoded, exif, picture, upload
from tests.photos.imaging.places import turn_of
from tests.photos.imaging.rendered import Base, base, painted, seen, tilt


def kept(image: Image.Image, kind: str = "JPEG", **options) -> PlateShot:
    facts = store(upload(encoded(image, kind, **options)))
    return PlateShot(facts["sha256"], facts["format"], facts["width"], facts["height"], 1)


def test_a_large_picture_is_made_smaller_once(data_folder) -> None:
    part = part_of(kept(picture(3000, 1500)), WHOLE_PICTURE)
    assert part.shape == (600, 1200, 3)
    # left half dark red, right half pale green
    assert part[300, 100, 0] > 100 > part[300, 100, 1]
    assert part[300, 1100, 1] > 180


def test_a_small_one_is_not_blown_up_and_a_part_is_cut_exactly(data_folder) -> None:
    shot = kept(picture(400, 200), "PNG")
    whole = part_of(shot, WHOLE_PICTURE)
    assert whole.shape == (200, 400, 3)
    assert np.array_equal(part_of(shot, (0.25, 0.5, 0.75, 1.0)), whole[100:, 100:300])


def test_it_stands_upright_by_its_tag(data_folder) -> None:
    shot = kept(picture(400, 200), exif=exif(orientation=6))
    part = part_of(shot, WHOLE_PICTURE)
    assert part.shape == (400, 200, 3)
    assert part[50, 100, 0] > 100 > part[50, 100, 1], "turned clockwise the left half lies on top"


def test_a_damaged_file_is_told_in_one_sentence(data_folder) -> None:
    shot = kept(picture(400, 200))
    path = files.original(shot.sha256, shot.format)
    path.write_bytes(path.read_bytes()[:300])
    with pytest.raises(ImagingError, match="may be damaged"):
        part_of(shot, WHOLE_PICTURE)


def test_places_and_pixels_undo_each_other() -> None:
    for place in ((0.0, 0.0), (41.5, 77.25), (100.0, 100.0)):
        assert place_of(pixel(place, 640, 480), 640, 480) == pytest.approx(place)
    # the middle of a part is the middle of what is drawn of it
    assert pixel((50, 25), 100, 200, (0.4, 0.2, 0.6, 0.3)) == pytest.approx((49.5, 99.5))


def test_the_part_holds_the_whole_rim() -> None:
    shot = PlateShot("0" * 64, "PNG", 1000, 500, 1)
    recipe = Recipe((shot,), rim=((50, 10), (70, 50), (50, 90)))
    left, top, right, bottom = recipe.box()
    assert left < 0.3 < 0.7 < right
    assert top < 0.1 < 0.9 < bottom
    assert (right - left) * 1000 == pytest.approx((bottom - top) * 500, rel=0.02)


@pytest.mark.parametrize("distance", (None, 6.0))
def test_a_base_tilted_by_20_degrees_is_drawn_straight(distance: float | None) -> None:
    made = base()
    way = tilt(made, 20, 35, distance)
    size = made.mask.shape[0]
    image = cv2.warpPerspective(painted(made), way, (size, size), flags=cv2.INTER_CUBIC)
    rim = fit_rim(seen(way, made.rim(5)), seen(way, [made.middle])[0])
    square = straightened(image, rim)[..., 1].astype(float)
    side = square.shape[0]
    y, x = np.mgrid[0:side, 0:side] - (side - 1) / 2
    share = np.hypot(x, y) * 2 * (1 + BEYOND_RIM) / side
    turn = np.degrees(np.arctan2(x, -y))
    ink = np.clip(220 - square, 0, None) * ((share > 0.55) & (share < 0.85))
    assert (ink * share).sum() / ink.sum() == pytest.approx(made.share, rel=0.02)
    # Where each letter's ink lies, against where it was set: all turned alike, each within 2 % of the radius.
    room = 360 / len(made.turns)
    first = turn_of(rim, seen(way, [place_on(made, made.turns[0])])[0])[0]
    for n, set_at in enumerate(made.turns):
        off = (turn - (first + set_at - made.turns[0]) + 180) % 360 - 180
        near = ink * (np.abs(off) < room / 2)
        middle = (near * off).sum() / near.sum()
        assert abs(np.radians(middle)) * made.share < 0.02, f"letter {n} is {middle:.1f} degrees off"


def place_on(made: Base, turn_deg: float) -> tuple[float, float]:
    """Where on the flat base a letter was set."""
    turn = np.radians(turn_deg)
    off = made.share * made.radius
    return made.middle[0] + off * np.sin(turn), made.middle[1] - off * np.cos(turn)


def test_turned_normals_follow_the_picture() -> None:
    leaning_right = np.stack([np.full((2, 2), 0.5), np.zeros((2, 2)), np.full((2, 2), 0.8)]).astype(
        np.float32
    )
    turned = turned_normals(leaning_right, 90.0)
    # What was at the right is on top now.
    assert turned[0] == pytest.approx(0, abs=1e-6)
    assert turned[1] == pytest.approx(0.5)


def test_png_bytes_hold_nothing_but_pixels() -> None:
    image = Image.open(io.BytesIO(as_png(np.zeros((4, 4), dtype=np.uint8))))
    assert image.info == {}
