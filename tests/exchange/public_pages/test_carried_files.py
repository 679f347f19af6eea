"""Carried pictures are small and bare; carried scripts need no module."""

import io
import re

import numpy as np
import pytest
from PIL import Image

from catalogue.exchange.public_pages.assets import asked_by_sheet, carried_asset
from catalogue.exchange.public_pages.pictures import (
    ALONE_BYTES,
    LARGE_SHOT_BYTES,
    LARGE_SHOT_PX,
    SMALL_SHOT_BYTES,
    SMALL_SHOT_PX,
    begin_pictures,
    fitted,
)
from catalogue.photos import files
from catalogue.photos.services import take_in
from tests import factories as make
from tests.house.sheets import STATIC, name
from tests.photos.drawn import GPS, encoded, exif, picture, upload


def noise(width: int, height: int, quality: int = 95) -> bytes:
    """The worst that a JPEG can meet."""
    drawn = np.random.default_rng(1).integers(0, 255, (height, width, 3), dtype=np.uint8)
    return encoded(Image.fromarray(drawn), quality=quality)


@pytest.mark.parametrize(
    ("longest", "most"), [(SMALL_SHOT_PX, SMALL_SHOT_BYTES), (LARGE_SHOT_PX, LARGE_SHOT_BYTES)]
)
@pytest.mark.parametrize("size", [(900, 700), (300, 900), (4, 4), (1, 900)])
def test_any_picture_is_made_to_fit(longest, most, size):
    made = fitted(noise(*size), longest, most)
    with Image.open(io.BytesIO(made.jpeg)) as image:
        assert image.size == (made.width, made.height)
    assert len(made.jpeg) <= most and max(made.width, made.height) <= longest


def test_a_copy_that_fits_is_taken_as_it_is():
    small = encoded(picture(200, 100))
    assert fitted(small, SMALL_SHOT_PX, SMALL_SHOT_BYTES).jpeg == small


def test_nothing_of_the_camera_comes_along(db, data_folder):
    taken = upload(encoded(picture(1600, 1200), exif=exif(gps=GPS, make="Quillon"), comment=b"Quorrel"))
    photo = take_in(taken, subject=make.find())
    [made] = begin_pictures([photo])()
    assert made is not None
    for each in (made.small, made.large):
        with Image.open(io.BytesIO(each.jpeg)) as image:
            assert not image.getexif() and "comment" not in image.info
        assert not re.search(rb"Exif|Quillon|Quorrel|http", each.jpeg)


@pytest.mark.parametrize("words", [{"exif": exif(gps=GPS)}, {"comment": b"Exif"}])
def test_a_copy_with_such_words_would_be_written_anew(words):
    told = encoded(picture(200, 100), **words)
    assert b"Exif" in told and b"Exif" not in fitted(told, SMALL_SHOT_PX, SMALL_SHOT_BYTES).jpeg


def test_a_damaged_copy_is_left_out(db, data_folder):
    photo = take_in(upload(encoded(picture(1600, 1200))), subject=make.find())
    files.size(photo.sha256, "medium").write_bytes(b"no picture")
    assert begin_pictures([photo])() == [None]
    files.size(photo.sha256, "medium").unlink()
    files.original(photo.sha256, photo.format).unlink()
    assert begin_pictures([photo])() == [None]


def test_only_the_picture_that_stands_in_the_page_is_held_as_small(db, data_folder):
    find = make.find()
    photos = [take_in(upload(noise(900, 700 + n, quality=60)), subject=find) for n in range(2)]
    first, other = begin_pictures(photos)()
    assert first and other
    assert len(first.large.jpeg) <= LARGE_SHOT_BYTES < len(other.large.jpeg) <= ALONE_BYTES
    files.size(photos[0].sha256, "medium").write_bytes(b"no picture")
    first, other = begin_pictures(photos)()
    assert first is None and other and len(other.large.jpeg) <= LARGE_SHOT_BYTES


SCRIPTS = sorted(name(path) for path in STATIC.glob("pages/*/**/*.js"))


@pytest.mark.parametrize("script", SCRIPTS)
def test_a_script_is_made_one_plain_file(script):
    made = carried_asset(script).decode()
    assert not re.search(r"^\s*(import|export)\b", made, re.MULTILINE)


def test_what_a_script_imports_stands_in_it():
    made = carried_asset("pages/exhibit/exhibit.js").decode()
    assert "const { arrow, onDrag } = (() => {" in made and "setPointerCapture" in made


def test_a_sheet_says_what_it_asks_for():
    assert asked_by_sheet("common/tokens.css") == ["common/face.woff2"]
