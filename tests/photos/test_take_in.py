"""A picture taken in: the original kept, the facts read, sizes made, the same one not doubled."""

import hashlib
import io

import pytest
from PIL import Image

from catalogue.photos import files
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import Photo
from catalogue.photos.services import put_in_bin, take_in
from tests.photos.conftest import a_find
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload


def test_original_is_kept_bit_for_bit(find):
    content = encoded(picture(), exif=exif(gps=GPS))
    photo = take_in(upload(content), subject=find, role="after")
    kept = files.original(photo.sha256, photo.format)
    assert kept.read_bytes() == content
    assert photo.sha256 == hashlib.sha256(content).hexdigest()
    assert (photo.bytes, photo.width, photo.height) == (len(content), 400, 200)
    assert (photo.role, photo.find, photo.original_name) == ("after", find, "picture.jpg")


def test_camera_notes_are_read(find):
    notes = exif(taken="2024:08:14 10:21:07", offset="-04:00", gps=GPS)
    photo = take_in(upload(encoded(picture(), exif=notes)), subject=find)
    assert photo.taken_at.isoformat() == "2024-08-14T14:21:07+00:00"
    assert photo.taken_offset_min == -240
    assert photo.taken_on_the_spot.isoformat() == "2024-08-14T10:21:07"
    assert photo.camera == "Quillon Reef 2"
    # 44° 20′ 30″ N, 75° 55′ 12″ W worked out by hand
    assert photo.position == (44.341667, -75.92)


def test_time_without_zone_keeps_the_clocks_figures(find):
    photo = take_in(upload(encoded(picture(), exif=exif(taken="2024:08:14 10:21:07"))), subject=find)
    assert photo.taken_offset_min is None
    assert photo.taken_on_the_spot.isoformat() == "2024-08-14T10:21:07"


def test_three_sizes_are_made_progressive_and_in_proportion(find):
    photo = take_in(jpeg(width=2400, height=1200), subject=find)
    assert photo.sizes_made
    for name, expected in {"small": (360, 180), "medium": (900, 450), "large": (1800, 900)}.items():
        with Image.open(files.size(photo.sha256, name)) as made:
            assert (made.size, made.format, made.info["progressive"]) == (expected, "JPEG", 1)


def test_small_pictures_are_not_blown_up(find):
    photo = take_in(jpeg(width=120, height=80), subject=find)
    with Image.open(files.size(photo.sha256, "large")) as made:
        assert made.size == (120, 80)


def test_same_picture_of_one_find_is_kept_once(find):
    first = take_in(jpeg(), subject=find)
    assert take_in(jpeg(name="again.jpg"), subject=find) == first
    assert Photo.objects.count() == 1
    other = take_in(jpeg(), subject=a_find(2))
    assert other != first
    assert len([path for path in files.stored() if "originals" in path.parts]) == 1


def test_same_picture_comes_back_out_of_the_bin(find):
    first = take_in(jpeg(), subject=find)
    put_in_bin(first)
    assert Photo.objects.count() == 0
    assert take_in(jpeg(), subject=find) == first
    assert Photo.objects.count() == 1


def test_pictures_of_a_site_too(site):
    photo = take_in(jpeg(), subject=site)
    assert (photo.site, photo.find) == (site, None)
    assert take_in(jpeg(), subject=site) == photo


def test_a_file_object_and_a_path_are_taken_as_well(find, tmp_path):
    path = tmp_path / "from disk.jpg"
    path.write_bytes(encoded(picture(tint=5)))
    assert take_in(path, subject=find).original_name == "from disk.jpg"
    assert take_in(io.BytesIO(encoded(picture(tint=6))), subject=find).original_name == ""


def test_unknown_role_and_wrong_subject_raise(find):
    with pytest.raises(ValueError):
        take_in(jpeg(), subject=find, role="portrait")
    with pytest.raises(TypeError):
        take_in(jpeg(), subject=Photo())
    assert Photo.everything.count() == 0
    assert list(files.stored()) == []


def test_a_full_disk_is_said_in_a_sentence(find, monkeypatch):
    def full(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "keep_original", full)
    with pytest.raises(PictureRefused, match="no room left on the disk"):
        take_in(jpeg(), subject=find)
    assert list(files.stored()) == []


@pytest.mark.parametrize(
    "name", ["../../etc/shadow.jpg", "C:\\pictures\\wreck.jpg", "\u202egpj.exe", "a" * 900]
)
def test_no_name_from_a_user_reaches_the_disk(find, name):
    file = jpeg()
    file._name = name
    photo = take_in(file, subject=find)
    assert all(photo.sha256 in path.name for path in files.stored())
    assert "/" not in photo.original_name and "\\" not in photo.original_name
    assert len(photo.original_name) <= 200
