"""Changing a picture on its find's page: role, place, cover, words, bin; and adding more."""

import pytest
from django.urls import reverse

from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.photos.views.getting import get_subject
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

NEXT = {"next": "/finds/2026.14.1/"}
BACK = "/finds/2026.14.1/#pictures"


@pytest.fixture
def photo(find) -> Photo:
    return take_in(jpeg(), subject=find)


def post(client, name, photo, *args, **data):
    return client.post(reverse(f"photos:{name}", args=[photo.pk, *args]), {**NEXT, **data})


def told(answer) -> list[str]:
    return [str(message) for message in answer.wsgi_request._messages]


def test_role(owner_client, photo):
    answer = post(owner_client, "role", photo, role="after")
    assert (answer.status_code, answer["Location"]) == (302, BACK)
    photo.refresh_from_db()
    assert photo.role == "after"
    answer = post(owner_client, "role", photo, role="portrait")
    assert told(answer) == ["Choose one of the roles in the list."]
    photo.refresh_from_db()
    assert photo.role == "after"


def test_move_and_cover(owner_client, find, photo):
    second = take_in(jpeg(2), subject=find)
    post(owner_client, "move", second, "earlier")
    assert list(find.photos.in_order()) == [second, photo]
    post(owner_client, "move", second, "later")
    assert list(find.photos.in_order()) == [photo, second]
    post(owner_client, "cover", second)
    assert list(find.photos.in_order()) == [second, photo]


def test_cover_of_a_reference_picture_is_refused_in_words(owner_client, find):
    photo = take_in(jpeg(), subject=find, role="reference")
    assert "can't stand for the find" in told(post(owner_client, "cover", photo))[0]


def test_bin_and_put_back(owner_client, photo):
    assert "put in the bin" in told(post(owner_client, "bin", photo))[0]
    assert not Photo.objects.exists()
    assert post(owner_client, "role", photo, role="after").status_code == 404
    assert post(owner_client, "put_back", photo)["Location"] == BACK
    assert Photo.objects.get() == photo
    assert post(owner_client, "put_back", photo).status_code == 404


def test_a_visitor_changes_nothing(client, photo):
    Photo.objects.update(opened=True)
    for name, args in (("role", ()), ("cover", ()), ("bin", ()), ("put_back", ()), ("move", ("later",))):
        answer = post(client, name, photo, *args, role="after")
        assert answer.status_code == 302 and "/enter/" in answer["Location"]
    photo.refresh_from_db()
    assert (photo.role, photo.order, photo.binned_at) == ("detail", 1, None)


def test_changes_are_posted(owner_client, photo):
    for name in ("role", "cover", "bin", "put_back", "position"):
        assert owner_client.get(reverse(f"photos:{name}", args=[photo.pk])).status_code == 405


@pytest.mark.parametrize("elsewhere", ["https://else.example/", "//else.example/", "javascript:alert(1)"])
def test_the_way_back_stays_in_the_house(owner_client, photo, elsewhere, monkeypatch):
    monkeypatch.setattr("catalogue.photos.views.getting.page_of", lambda subject: "/finds/2026.14.1/")
    answer = owner_client.post(reverse("photos:cover", args=[photo.pk]), {"next": elsewhere})
    assert answer["Location"] == BACK


def test_add_goes_on_past_a_bad_one(owner_client, find):
    files = [jpeg(1, "a.jpg"), upload(b"no", "b.jpg"), jpeg(2, "c.jpg")]
    form = {**NEXT, "pictures": files, "pictures-role": "base"}
    answer = owner_client.post(f"/photos/add/?find={find.pk}", form)
    assert answer["Location"] == BACK
    assert told(answer)[0] == "2 pictures added."
    assert told(answer)[1].startswith("b.jpg: This isn't a picture")
    assert {photo.role for photo in find.photos.all()} == {"base"}


def test_add_what_was_held_before(owner_client, find):
    token = owner_client.post("/photos/hold/", {"pictures": jpeg()}).json()["token"]
    answer = owner_client.post(
        f"/photos/add/?find={find.number}", {**NEXT, "held": token, f"role-{token}": "after"}
    )
    assert told(answer) == ["1 picture added."]
    assert find.photos.get().role == "after"


NOWHERE = ["", "find=9999", "find=x", "find=2026.1.1", "dive=1", "site=%C2%B2", "place=-1"]


@pytest.mark.parametrize("query", NOWHERE)
def test_add_to_nothing_is_not_found(owner_client, find, query):
    assert owner_client.post(f"/photos/add/?{query}", {"pictures": jpeg()}).status_code == 404
    assert not Photo.objects.exists()


def test_subjects_by_key(rf, site):
    assert get_subject(rf.get(f"/?site={site.pk}")) == site


def test_position_is_offered_and_taken_over_only_when_asked(owner_client, site):
    photo = take_in(upload(encoded(picture(), exif=exif(gps=GPS))), subject=site)
    site.refresh_from_db()
    assert site.latitude is None
    post(owner_client, "position", photo)
    site.refresh_from_db()
    assert (float(site.latitude), float(site.longitude)) == (44.341667, -75.92)
    other = take_in(upload(encoded(picture(tint=9), exif=exif(gps={**GPS, 1: "S"}))), subject=site)
    assert "has a position already" in told(post(owner_client, "position", other))[0]
    site.refresh_from_db()
    assert float(site.latitude) == 44.341667
