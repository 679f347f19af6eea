"""A position from a picture's own note of it: offered, never taken silently, and nothing is kept."""

import pytest

from catalogue.photos.models import HeldPicture, Photo
from catalogue.sites.models import Site
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

pytestmark = pytest.mark.django_db
ADDRESS = "/dives/sites/new/position/"


def noting(gps):
    return upload(encoded(picture(), exif=exif(gps=gps)))


def looked_at(client, sent):
    return client.post(ADDRESS, {"picture": sent} if sent else {})


def test_it_is_told_as_people_and_as_the_form_write_it(owner_client):
    answer = looked_at(owner_client, noting(GPS)).json()
    # 44° 20' 30" N, 75° 55' 12" W: 30" is half a minute, 55' 12" is 55.2'.
    assert answer == {
        "words": "44° 20.5′ N, 75° 55.2′ W",
        "latitude": "44.341667",
        "longitude": "-75.920000",
    }
    assert not (Photo.everything.exists() or HeldPicture.objects.exists() or Site.objects.exists())


def test_what_is_offered_can_be_typed_into_the_form(owner_client):
    answer = looked_at(owner_client, noting(GPS)).json()
    typed = {name: answer[name] for name in ("latitude", "longitude")}
    owner_client.post(
        "/dives/sites/new/",
        {"name": "Whelk Bank", "show_as": "hidden", "tidal": "yes", "wreck": "no", "military": "no", **typed},
    )
    site = Site.objects.get()
    assert (str(site.latitude), str(site.longitude)) == ("44.341667", "-75.920000")


@pytest.mark.parametrize(
    ("sent", "why"),
    [
        (jpeg, "doesn’t say where"),
        (
            lambda: upload(encoded(picture(), exif=exif(gps={**GPS, 2: (91.0, 0.0, 0.0)}))),
            "doesn’t say where",
        ),
        (lambda: upload(b"no picture at all", "x.jpg"), "picture"),
        (lambda: None, "No picture arrived"),
    ],
)
def test_without_a_position_it_says_so(owner_client, sent, why):
    answer = looked_at(owner_client, sent())
    assert answer.status_code == 200
    assert why in answer.json()["error"] and "latitude" not in answer.json()


def test_nobody_else_may_ask(client):
    assert looked_at(client, jpeg()).status_code == 302
    assert client.get(ADDRESS).status_code in (302, 405)


def test_the_form_asks_only_with_script_and_sends_no_picture(owner_client):
    text = owner_client.get("/dives/sites/new/").content.decode()
    assert 'by-script" data-position=' in text
    part = text[text.index("data-position=") :].split("</div>", 1)[0]
    assert "name=" not in part
