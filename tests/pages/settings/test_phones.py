"""Pairing a phone by a code on the owner's screen."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.access.models import OneTimeKey

pytestmark = pytest.mark.django_db


@pytest.fixture
def network(settings):
    settings.LAN, settings.LAN_ADDRESSES, settings.PORT = True, ["192.168.7.20", "10.4.0.9"], 8737
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, *settings.LAN_ADDRESSES]


def link_on(page: str) -> str:
    (link,) = re.findall(r"http://[\d.]+:\d+/enter/[\w-]+/", page)
    return link


def test_a_closed_network_is_explained_and_makes_no_key(owner_client):
    assert "<code>--lan</code>" in owner_client.get("/settings/phones/").content.decode()
    owner_client.post("/settings/phones/")
    assert not OneTimeKey.objects.exists()


def test_no_network_is_explained_and_makes_no_key(owner_client, settings):
    settings.LAN, settings.LAN_ADDRESSES = True, []
    assert "no address on a network" in owner_client.get("/settings/phones/").content.decode()
    owner_client.post("/settings/phones/")
    assert not OneTimeKey.objects.exists()


def test_looking_at_the_page_makes_no_key(owner_client, network):
    page = owner_client.get("/settings/phones/").content.decode()
    assert "Show a code" in page and "192.168.7.20" in page and "10.4.0.9" in page
    assert not OneTimeKey.objects.exists()


def test_the_phone_that_opens_the_code_is_in_and_a_second_is_not(owner_client, network):
    answer = owner_client.post("/settings/phones/")
    page = answer.content.decode()
    assert "<svg" in page and "qr" in page
    assert "no-store" in answer["Cache-Control"]
    link = link_on(page)
    assert link.startswith("http://192.168.7.20:8737/")
    path = link.removeprefix("http://192.168.7.20:8737")
    phone, thief = Client(), Client()
    assert phone.get(path, headers={"Host": "192.168.7.20:8737"}).status_code == 302
    assert phone.get("/settings/").status_code == 200
    assert thief.get(path).status_code == 410
    assert thief.get("/settings/").status_code == 302


def test_the_owner_chooses_the_network_but_only_among_this_machines(owner_client, network):
    page = owner_client.post("/settings/phones/", {"address": "10.4.0.9"}).content.decode()
    assert link_on(page).startswith("http://10.4.0.9:8737/")
    page = owner_client.post("/settings/phones/", {"address": "elsewhere.example"}).content.decode()
    assert link_on(page).startswith("http://192.168.7.20:8737/")


def test_a_code_is_good_for_ten_minutes(owner_client, network):
    assert "for 10 minutes" in owner_client.post("/settings/phones/").content.decode()
    key = OneTimeKey.objects.get()
    assert key.opens == "phone"
    assert timedelta(minutes=9) < key.expires - timezone.now() <= timedelta(minutes=10)


def test_other_methods_are_refused(owner_client):
    assert owner_client.put("/settings/phones/").status_code == 405
