"""The door, for whoever has no key."""

import pytest
from django.test import Client

from catalogue.access.passwords import MOST_FROM_ONE_ADDRESS

pytestmark = pytest.mark.django_db
RIGHT = "kelp and lantern"


@pytest.fixture
def on_the_network(settings, owner):
    """`--lan`, and a password set."""
    settings.LAN = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    owner.set_password(RIGHT)
    owner.save()


def test_a_visitor_is_sent_to_the_door_and_told_what_is_open(client):
    answer = client.get("/settings/", follow=True)
    assert answer.redirect_chain == [("/enter/?next=/settings/", 302)]
    page = answer.content.decode()
    assert "This catalogue belongs to somebody" in page
    assert 'href="/giving/"' in page
    assert 'type="password"' not in page


def test_the_owner_at_the_door_goes_on(owner_client):
    assert owner_client.get("/enter/?next=/settings/")["Location"] == "/settings/"


def test_on_this_machine_alone_no_password_is_taken(client, settings, on_the_network):
    settings.LAN = False
    assert 'type="password"' not in client.get("/enter/").content.decode()
    assert client.post("/enter/", {"password": RIGHT}).status_code == 403
    assert client.get("/settings/").status_code == 302


def test_without_a_password_none_is_offered_on_the_network(client, settings, owner):
    settings.LAN = True
    assert 'type="password"' not in client.get("/enter/").content.decode()
    assert client.post("/enter/", {"password": ""}).status_code == 403


def test_the_password_lets_in_and_goes_on_to_the_page_asked_for(client, on_the_network):
    assert 'type="password"' in client.get("/enter/?next=/settings/").content.decode()
    answer = client.post("/enter/", {"password": RIGHT, "next": "/settings/"})
    assert answer["Location"] == "/settings/"
    assert client.get("/settings/").status_code == 200


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "javascript:x"])
def test_it_never_goes_on_to_another_site(client, on_the_network, elsewhere):
    assert client.post("/enter/", {"password": RIGHT, "next": elsewhere})["Location"] == "/"


@pytest.mark.parametrize(
    ("typed", "said"),
    [("guess", "That is not the password."), ("", "This field is required."), ("x" * 300, "200 go in")],
)
def test_a_wrong_password_is_said_beside_its_field(client, on_the_network, typed, said):
    answer = client.post("/enter/", {"password": typed})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert client.get("/settings/").status_code == 302


def test_too_many_wrong_ones_are_asked_to_wait(client, on_the_network):
    for _ in range(MOST_FROM_ONE_ADDRESS):
        client.post("/enter/", {"password": "guess"})
    answer = client.post("/enter/", {"password": RIGHT})
    assert answer.status_code == 429
    assert "Wait 15 minutes" in answer.content.decode()
    assert client.get("/settings/").status_code == 302


def test_leaving_signs_this_browser_out(owner_client):
    assert owner_client.get("/leave/").status_code == 405
    assert owner_client.post("/leave/")["Location"] == "/enter/"
    assert owner_client.get("/settings/").status_code == 302


def test_the_password_form_is_taken_from_our_own_page_alone(on_the_network):
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post("/enter/", {"password": RIGHT})
    assert answer.status_code == 403
    assert "gone stale" in answer.content.decode()


def test_djangos_own_sign_in_page_is_not_another_way_round_the_limit(client, on_the_network):
    for _ in range(MOST_FROM_ONE_ADDRESS):
        client.post("/admin/login/", {"username": "owner", "password": "guess"})
    assert client.post("/admin/login/", {"username": "owner", "password": RIGHT}).status_code == 429
