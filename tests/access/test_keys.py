"""A key opens once, for a while, and leaves no trace of itself."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.access import services
from catalogue.access.models import OneTimeKey, WrongKey

pytestmark = pytest.mark.django_db
OWNER, PHONE = OneTimeKey.Opens.OWNER, OneTimeKey.Opens.PHONE


def test_a_key_lets_one_browser_in_and_goes_home(client):
    key = services.make_key(OWNER)
    answer = client.get(f"/enter/{key}/")
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert client.get("/settings/").status_code == 200


def test_the_address_with_the_key_is_told_to_no_other_page(client):
    answer = client.get(f"/enter/{services.make_key(OWNER)}/")
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer["Cache-Control"]


def test_a_second_browser_is_told_that_the_link_was_used(client):
    key = services.make_key(OWNER)
    Client().get(f"/enter/{key}/")
    answer = client.get(f"/enter/{key}/")
    assert answer.status_code == 410
    assert "does not open the catalogue any more" in answer.content.decode()
    assert client.get("/settings/").status_code == 302


def test_an_invented_key_opens_nothing(client):
    answer = client.get("/enter/this-is-not-a-key/")
    assert answer.status_code == 410
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize(("opens", "life"), [(OWNER, timedelta(hours=24)), (PHONE, timedelta(minutes=10))])
def test_a_key_opens_until_its_time_and_not_after(opens, life):
    before, now = services.make_key(opens), timezone.now()
    made = OneTimeKey.objects.get().expires - life
    assert abs(made - now) < timedelta(seconds=5)
    OneTimeKey.objects.update(expires=now + timedelta(seconds=30))
    assert services.use_key(before).opens == opens
    after = services.make_key(opens)
    OneTimeKey.objects.filter(used_at=None).update(expires=now - timedelta(seconds=1))
    assert services.use_key(after) is None


@pytest.mark.parametrize("opens", [OWNER, PHONE])
def test_a_newer_key_ends_the_earlier_one_of_its_kind_alone(opens):
    other = services.make_key(PHONE if opens == OWNER else OWNER)
    earlier, newer = services.make_key(opens), services.make_key(opens)
    assert services.use_key(earlier) is None
    assert services.use_key(newer) is not None and services.use_key(other) is not None


def test_only_a_digest_is_stored():
    key = services.make_key(OWNER)
    row = OneTimeKey.objects.values().get()
    assert key not in str(row)
    assert len(key) >= 32


def test_looking_ahead_does_not_use_the_key_up(client):
    key = services.make_key(OWNER)
    assert client.get(f"/enter/{key}/", headers={"Sec-Purpose": "prefetch"}).status_code == 204
    assert client.get(f"/enter/{key}/", headers={"Purpose": "prefetch"}).status_code == 204
    assert client.head(f"/enter/{key}/").status_code == 204
    assert client.get(f"/enter/{key}/").status_code == 302


def test_a_link_dies_with_its_first_opening_also_by_a_browser_that_is_in(owner_client, client):
    key = services.make_key(OWNER)
    assert owner_client.get(f"/enter/{key}/")["Location"] == "/"
    assert client.get(f"/enter/{key}/").status_code == 410


def test_the_session_is_a_fresh_one(client):
    session = client.session
    session["planted"] = "by somebody"
    session.save()
    planted = session.session_key
    client.get(f"/enter/{services.make_key(OWNER)}/")
    assert client.session.session_key != planted


def test_a_key_is_only_fetched_never_sent(client):
    key = services.make_key(OWNER)
    assert client.post(f"/enter/{key}/").status_code == 405
    assert services.use_key(key) is not None


def test_a_start_sweeps_what_can_open_nothing_and_earlier_links():
    services.use_key(services.make_key(PHONE))
    old = OneTimeKey(digest="d" * 64, opens=PHONE, expires=timezone.now())
    link, phone = services.make_key(OWNER), services.make_key(PHONE)
    old.save()
    services.sweep_keys()
    assert OneTimeKey.objects.count() == 1
    assert services.use_key(link) is None
    assert services.use_key(phone) is not None


def test_wrong_keys_of_one_address_are_limited_and_the_right_one_waits_with_them(client):
    key = services.make_key(PHONE)
    here = {"REMOTE_ADDR": "192.168.7.2"}
    for _ in range(services.MOST_WRONG_KEYS):
        assert client.get("/enter/a-guess/", **here).status_code == 410
    answer = client.get(f"/enter/{key}/", **here)
    assert answer.status_code == 429
    assert 0 < int(answer["Retry-After"]) <= 15 * 60
    assert "Wait 15 minutes" in answer.content.decode() and "no-store" in answer["Cache-Control"]
    assert "_auth_user_id" not in client.session
    # The key was not used up by it, and another address is not held up.
    assert Client(REMOTE_ADDR="192.168.7.3").get(f"/enter/{key}/").status_code == 302


def test_the_right_key_clears_the_count_and_who_is_let_in_is_not_counted(client, owner_client):
    client.get("/enter/a-guess/")
    assert WrongKey.objects.count() == 1
    client.get(f"/enter/{services.make_key(OWNER)}/")
    owner_client.get("/enter/a-guess/")
    assert not WrongKey.objects.exists()
