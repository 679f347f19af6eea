"""The list in which pictures are arranged, the order sent at once, and one picture looked at large."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from catalogue.photos.models import Photo
from catalogue.photos.services import set_cover, take_in
from tests.factories import dive
from tests.photos.conftest import a_find
from tests.photos.drawn import GPS, encoded, exif, jpeg, picture, upload

JSON = {"headers": {"accept": "application/json"}}


@pytest.fixture
def three(find) -> list[Photo]:
    return [take_in(jpeg(n), subject=find, role=role) for n, role in enumerate(("as-found", "base", "after"))]


def order(find) -> list[int]:
    return list(find.photos.in_order().values_list("pk", flat=True))


def send(client, find, keys, **how):
    words = ",".join(str(key) for key in keys)
    return client.post(f"{reverse('photos:order')}?find={find.pk}", {"order": words}, **how)


def test_order_is_sent_whole(owner_client, find, three):
    a, b, c = (photo.pk for photo in three)
    assert send(owner_client, find, [c, a, b], **JSON).json() == {"kept": True}
    assert order(find) == [c, a, b]
    assert send(owner_client, find, [b, a, c])["Location"].endswith("#pictures")
    assert order(find) == [b, a, c]


@pytest.mark.parametrize("wrong", ["", "1,1,1", "x", "1,2", "-1,2,3", "9" * 40, "²,1,2"])
def test_a_wrong_order_changes_nothing_and_says_so(owner_client, find, three, wrong):
    was = order(find)
    address = f"{reverse('photos:order')}?find={find.pk}"
    answer = owner_client.post(address, {"order": wrong}, **JSON)
    assert answer.status_code == 409 and answer.json()["error"].endswith("open the page again.")
    answer = owner_client.post(address, {"order": wrong})
    assert [str(m) for m in answer.wsgi_request._messages]
    assert order(find) == was


def test_order_of_nothing_by_a_visitor_and_by_get(owner_client, client, find, three):
    assert owner_client.get(reverse("photos:order")).status_code == 405
    assert owner_client.post(f"{reverse('photos:order')}?find=999", {"order": "1"}).status_code == 404
    was = order(find)
    assert "/enter/" in send(client, find, reversed(was))["Location"]
    assert order(find) == was


def test_the_page_is_a_strip_until_it_is_arranged(owner_client, find, three):
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert page.count('class="photos"') == 1 and ">Arrange<span" in page
    assert reverse("photos:move", args=[three[0].pk, "later"]) not in page
    page = owner_client.get(f"{find.get_absolute_url()}?arrange=1").content.decode()
    assert 'class="photos"' not in page
    for photo in three:
        assert reverse("photos:move", args=[photo.pk, "later"]) in page
        assert reverse("photos:bin", args=[photo.pk]) in page


def test_a_step_leads_back_to_the_picture_that_was_moved(owner_client, find, three):
    address = f"{find.get_absolute_url()}?arrange=1"
    answer = owner_client.post(reverse("photos:move", args=[three[2].pk, "earlier"]), {"next": address})
    assert answer["Location"] == f"{address}#picture-{three[2].pk}"
    answer = owner_client.post(reverse("photos:bin", args=[three[2].pk]), {"next": address})
    assert answer["Location"] == f"{address}#pictures"


def test_arranging_takes_no_query_more_for_each_picture(owner_client, find, three):
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            owner_client.get(f"{find.get_absolute_url()}?arrange=1")
        return len(seen)

    with_three = queries()
    for n in range(3, 9):
        take_in(jpeg(n), subject=find)
    assert queries() == with_three


def test_looking_at_one_and_on_to_the_next(owner_client, find, three, django_assert_num_queries):
    set_cover(three[1])
    first, second, third = order(find)
    page = owner_client.get(reverse("photos:look", args=[second])).content.decode()
    assert page.count("<h1") == 1 and "2 of 3" in page and "style=" not in page
    assert reverse("photos:look", args=[first]) in page and reverse("photos:look", args=[third]) in page
    ends = owner_client.get(reverse("photos:look", args=[first])).content.decode()
    assert 'rel="prev"' not in ends and 'rel="next"' in ends
    with django_assert_num_queries(4):  # session, owner, picture, the row it stands in
        owner_client.get(reverse("photos:look", args=[third]))
    assert owner_client.get(reverse("photos:look", args=[third + 1])).status_code == 404
    assert owner_client.post(reverse("photos:look", args=[third])).status_code == 405


def test_a_visitor_looks_only_at_what_is_shared_and_learns_nothing_of_the_camera(client, db):
    shared, private = a_find(1, shared=True), a_find(2)
    notes = exif(taken="2024:08:14 10:21:07", offset="+02:00")
    seen = take_in(upload(encoded(picture(), exif=notes)), subject=shared, role="after")
    take_in(jpeg(5), subject=shared, role="reference")
    hidden = take_in(jpeg(6), subject=private)
    page = client.get(reverse("photos:look", args=[seen.pk])).content.decode()
    assert "1 of 1" in page and "Quillon" not in page and "Original" not in page and "10:21" not in page
    assert client.get(reverse("photos:look", args=[hidden.pk])).status_code == 404


@pytest.mark.parametrize(
    ("offset", "words"),
    [
        (None, "14 Aug 2024, 10:21 local time"),
        ("+02:00", "14 Aug 2024, 10:21 (UTC+2)"),
        ("-03:30", "14 Aug 2024, 10:21 (UTC−3:30)"),
        ("Z", "14 Aug 2024, 10:21 (UTC)"),
    ],
)
def test_the_time_is_the_cameras_own_with_its_zone_where_known(owner_client, find, offset, words):
    notes = {"taken": "2024:08:14 10:21:07"} | ({"offset": offset} if offset else {})
    photo = take_in(upload(encoded(picture(), exif=exif(**notes))), subject=find)
    page = owner_client.get(reverse("photos:look", args=[photo.pk])).content.decode()
    assert f"<dt>Taken</dt><dd>{words}</dd>" in page
    assert "<dt>Camera</dt><dd>Quillon Reef 2</dd>" in page


def test_the_site_page_offers_the_cameras_position(owner_client, client, site):
    take_in(upload(encoded(picture(), exif=exif(gps=GPS))), subject=site)
    page = owner_client.get(site.get_absolute_url()).content.decode()
    assert "44° 20.5′ N, 75° 55.2′ W" in page and "Save it for this site" in page
    assert 'class="photos"' in page


def test_the_dive_page_shows_its_own_pictures(owner_client):
    one = dive()
    take_in(jpeg(), subject=one, caption="Slack water at the ledge")
    assert "Slack water at the ledge" in owner_client.get(one.get_absolute_url()).content.decode()
