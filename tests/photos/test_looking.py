"""A picture's own page: what the camera noted, the position offered, the close look."""

import io
from datetime import date

import pytest
from django.test import Client
from PIL import Image

from catalogue.pages.templatetags.pictures import away_words
from catalogue.photos import files
from catalogue.photos.decoding import BOUNDED_PIXELS, close_up, is_closer
from catalogue.photos.services import take_in
from catalogue.sites.models import Dive
from catalogue.sites.services import log_dive
from tests.photos.conftest import a_find
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

NOTED = {"taken": "2024:08:14 10:21:07", "gps": GPS}
USE = "Save it for Tallow Cove"


def noted(tint: int = 0, **more):
    return upload(encoded(picture(tint=tint), exif=exif(**NOTED, **more)), "IMG_0042.jpg")


def page(client: Client, photo) -> str:
    answer = client.get(f"/photos/{photo.pk}/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_time_camera_and_file_are_told(owner_client, find):
    text = page(owner_client, take_in(noted(offset="-04:00"), subject=find))
    assert "14 Aug 2024, 10:21 (UTC−4)" in text and "Quillon Reef 2" in text
    assert "44° 20.5′ N" in text and "IMG_0042.jpg" in text
    # No site: nothing to offer it for.
    assert "Use this for" not in text
    assert "10:21 local time" in page(owner_client, take_in(noted(1), subject=find))


def test_a_file_that_says_nothing_is_said_to(owner_client, find):
    text = page(owner_client, take_in(upload(encoded(picture())), subject=find))
    assert text.count("the file doesn’t say") == 3


def test_the_position_is_offered_for_the_dives_site_and_used_only_when_asked(owner_client, site):
    dive = log_dive(Dive(site=site, date=date(2024, 8, 14)))
    photo = take_in(noted(), subject=a_find(1, dive=dive))
    assert USE in page(owner_client, photo)
    site.refresh_from_db()
    assert site.latitude is None
    answer = owner_client.post(f"/photos/{photo.pk}/position/", {"next": f"/photos/{photo.pk}/"}, follow=True)
    assert "Tallow Cove has this position now" in answer.content.decode()
    assert USE not in answer.content.decode()
    assert "10 m from the position of Tallow Cove" in answer.content.decode()
    site.refresh_from_db()
    assert (float(site.latitude), float(site.longitude)) == (44.341667, -75.92)


def test_a_site_with_a_position_is_told_how_far_off_the_camera_was(owner_client, site):
    site.latitude, site.longitude = 44.351667, -75.92
    site.save()
    text = page(owner_client, take_in(noted(), subject=site))
    # 0.01° of latitude: 6,371 km × π / 18,000
    assert "1.1 km from the position of Tallow Cove" in text and USE not in text


def test_a_visitor_is_told_nothing_of_it(client, db):
    photo = take_in(noted(), subject=a_find(1, shared=True), role="after")
    text = page(client, photo)
    # The position by its degrees and decimals: "44" alone may stand in a random token of the page.
    for told in ("2024", "Quillon", "44°", "44.3", "IMG_0042", "Details", "close.jpg"):
        assert told not in text.replace("2026.14.1", "")
    assert client.get(f"/photos/{photo.pk}/close.jpg").status_code == 302


@pytest.mark.parametrize(
    ("metres", "words"), [(3, "10 m"), (444, "440 m"), (1240, "1.2 km"), (2e6, "2,000 km")]
)
def test_distances_as_people_say_them(metres, words):
    assert away_words(metres) == words


def test_a_close_look_is_whole_upright_and_clean(owner_client, find):
    content = encoded(picture(2400, 1200), exif=exif(orientation=6, **NOTED))
    photo = take_in(upload(content), subject=find)
    assert f"/photos/{photo.pk}/close.jpg" in page(owner_client, photo)
    answer = owner_client.get(f"/photos/{photo.pk}/close.jpg")
    assert answer.status_code == 200 and "private" in answer["Cache-Control"]
    assert b"Exif" not in answer.content and b"Quillon" not in answer.content
    with Image.open(io.BytesIO(answer.content), formats=["JPEG"]) as made:
        made.load()
        assert made.size == (1200, 2400) and not made.getexif()
    again = owner_client.get(f"/photos/{photo.pk}/close.jpg", headers={"if-none-match": answer["ETag"]})
    assert again.status_code == 304
    assert owner_client.post(f"/photos/{photo.pk}/close.jpg").status_code == 405


def test_no_closer_than_the_large_copy_where_there_is_no_more(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    text = page(owner_client, photo)
    assert "close.jpg" not in text and f'href="/photos/{photo.pk}/large.jpg" data-closer' in text
    assert not is_closer(1800, 1350) and is_closer(1801, 1350)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_huge_one_is_bounded(tmp_path, kind):
    path = tmp_path / "huge"
    path.write_bytes(encoded(Image.new("RGB", (6000, 4000), (90, 120, 110)), kind))
    with Image.open(io.BytesIO(close_up(path))) as made:
        assert made.width > 1800 and made.width * made.height <= BOUNDED_PIXELS
        assert abs(made.width / made.height - 1.5) < 0.01


def test_a_lost_or_damaged_original_is_not_found(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    files.original(photo.sha256, "JPEG").write_bytes(b"\xff\xd8 not any more")
    assert owner_client.get(f"/photos/{photo.pk}/close.jpg").status_code == 404
    assert owner_client.get("/photos/999/close.jpg").status_code == 404
