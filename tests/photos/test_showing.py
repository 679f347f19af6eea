"""Who may see which picture, and what comes with it."""

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.photos import files
from catalogue.photos.models import HeldPicture
from catalogue.photos.services import put_in_bin, take_in
from catalogue.specimens.models import Specimen
from tests.photos.conftest import a_find
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload


def small(photo) -> str:
    return reverse("photos:size", args=[photo.pk, "small"])


def test_owner_sees_every_size_for_good(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    for name in ("small", "medium", "large"):
        answer = owner_client.get(reverse("photos:size", args=[photo.pk, name]))
        assert answer.status_code == 200
        assert answer.content == files.size(photo.sha256, name).read_bytes()
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Cache-Control"] == "private, max-age=31536000, immutable"
    assert answer["X-Content-Type-Options"] == "nosniff"
    tag = owner_client.get(small(photo))["ETag"]
    unchanged = owner_client.get(small(photo), headers={"if-none-match": tag})
    assert unchanged.status_code == 304
    assert "immutable" in unchanged["Cache-Control"]


@pytest.mark.parametrize(
    "address", ["/photos/1/huge.jpg", "/photos/0/small.jpg", f"/photos/{9**18}/large.jpg"]
)
def test_what_is_not_there_is_not_found(owner_client, address):
    assert owner_client.get(address).status_code == 404


def test_only_looking_is_allowed(owner_client, find):
    assert owner_client.post(small(take_in(jpeg(), subject=find))).status_code == 405


@pytest.mark.parametrize(
    ("fields", "role", "about", "seen"),
    [
        ({}, "after", {}, False),
        ({"shared": True}, "after", {}, True),
        ({"standing": Specimen.Standing.FREE}, "after", {}, True),
        ({"standing": Specimen.Standing.PROMISED}, "after", {}, False),
        ({"shared": True}, "reference", {}, False),
        ({"shared": True}, "plate", {}, False),
        ({"shared": True}, "plate", {"opened": True}, True),
        ({}, "plate", {"opened": True}, False),
    ],
)
def test_a_visitor_sees_pictures_of_shared_finds_only(client, db, fields, role, about, seen):
    photo = take_in(jpeg(), subject=a_find(1, **fields), role=role, **about)
    answer = client.get(small(photo))
    assert answer.status_code == (200 if seen else 404)
    if seen:
        assert answer["Cache-Control"] == "public, max-age=86400, immutable"


def test_a_visitor_loses_sight_when_picture_or_find_is_binned(client, db):
    find = a_find(1, shared=True)
    photo, other = take_in(jpeg(1), subject=find), take_in(jpeg(2), subject=find)
    put_in_bin(photo)
    assert client.get(small(photo)).status_code == 404
    find.put_in_bin()
    assert client.get(small(other)).status_code == 404


def test_pictures_of_sites_are_the_owners(client, owner_client, site):
    photo = take_in(jpeg(), subject=site)
    assert client.get(small(photo)).status_code == 404
    assert owner_client.get(small(photo)).status_code == 200


def test_original_is_a_download_and_the_owners_alone(client, owner_client, db):
    content = encoded(picture(), exif=exif(gps=GPS))
    photo = take_in(upload(content, 'x".html'), subject=a_find(7, shared=True), role="after")
    address = reverse("photos:original", args=[photo.pk])
    answer = owner_client.get(address)
    assert b"".join(answer.streaming_content) == content
    answer.close()
    assert answer["Content-Disposition"] == f'attachment; filename="2026.14.7 after {photo.pk}.jpg"'
    assert answer["Content-Type"] == "application/octet-stream"
    assert answer["X-Content-Type-Options"] == "nosniff"
    refused = client.get(address)
    assert refused.status_code == 302 and "/enter/" in refused["Location"]


def test_a_missing_size_is_made_when_asked_for(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    files.size(photo.sha256, "small").unlink()
    assert owner_client.get(small(photo)).status_code == 200
    assert files.size(photo.sha256, "small").exists()


def test_a_lost_original_is_said_to_be_so(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    for path in list(files.stored()):
        path.unlink()
    assert owner_client.get(small(photo)).status_code == 404
    gone = owner_client.get(reverse("photos:original", args=[photo.pk]))
    assert gone.status_code == 404
    assert "can&#x27;t be read" in gone.content.decode()


def test_a_damaged_original_is_no_server_error(owner_client, find):
    photo = take_in(jpeg(), subject=find)
    for path in list(files.stored()):
        path.write_bytes(b"rust") if "originals" in path.parts else path.unlink()
    assert owner_client.get(small(photo)).status_code == 404


@pytest.fixture
def another(client, django_user_model) -> Client:
    """The browser of somebody else who is let in."""
    client.force_login(django_user_model.objects.create_user("another"))
    return client


def test_held_pictures_are_for_whoever_sent_them(owner_client, another):
    answer = owner_client.post("/photos/hold/", {"pictures": jpeg(name="wet.jpg"), "role": "as-found"})
    assert answer.status_code == 201
    held = answer.json()
    assert (held["name"], held["role"], held["width"]) == ("wet.jpg", "as-found", 400)
    assert owner_client.get(held["thumb"])["Content-Type"] == "image/jpeg"
    assert another.get(held["thumb"]).status_code == 404
    assert another.post(f"{held['thumb']}let-go/").json() == {"gone": False}
    assert owner_client.post(f"{held['thumb']}let-go/").json() == {"gone": True}
    assert HeldPicture.objects.count() == 0


def test_nothing_sent_is_said_so_and_a_visitor_may_not(owner_client, client):
    answer = owner_client.post("/photos/hold/")
    assert (answer.status_code, answer.json()) == (400, {"error": "No picture arrived: choose it again."})
    assert owner_client.put("/photos/hold/").status_code == 405
    assert client.post("/photos/hold/", {"pictures": jpeg()}).status_code == 302
    assert HeldPicture.objects.count() == 0


def test_a_picture_of_the_form_is_known_by_its_digest_to_its_own_user_alone(owner_client, owner, another):
    held = owner_client.post("/photos/hold/", {"pictures": jpeg(), "role": "base"}).json()
    asked = {"sha256": HeldPicture.objects.get().sha256}
    assert owner_client.get("/photos/hold/", asked).json() == {"there": True, **held}
    assert another.get("/photos/hold/", asked).json() == {"there": False}
    # The sign-in that it was sent under has ended: its form is still open, and sends it under the next.
    signed_in_again = Client()
    signed_in_again.force_login(owner)
    assert signed_in_again.get("/photos/hold/", asked).json() == {"there": True, **held}
    assert owner_client.get("/photos/hold/", {"sha256": "ab" * 32}).json() == {"there": False}
    assert owner_client.get("/photos/hold/").json() == {"there": False}
