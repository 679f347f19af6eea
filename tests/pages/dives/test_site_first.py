"""A dive whose site isn't in the list: what was typed of it survives the way to the site's form and back."""

import pytest

from catalogue.sites.models import Dive, Site
from tests import factories

pytestmark = pytest.mark.django_db
SITE = {
    "name": "Harbour steps",
    "show_as": "hidden",
    "tidal": "unknown",
    "wreck": "unknown",
    "military": "unknown",
}
TYPED = {
    "date": "2026-05-02",
    "minutes": "41",
    "depth_m": "9.5",
    "buddies_named": "Ida Brandt",
    "notes": "Low sun.",
}


def add_site_first(client, address="/dives/new/", **more):
    answer = client.post(address, TYPED | {"act": "add-site", "once": "k"} | more)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/dives/sites/new/?then=dive")
    return client.post(answer.headers["Location"], SITE)


def test_the_words_come_back_with_the_new_site_chosen(owner_client):
    back = add_site_first(owner_client)
    assert back.headers["Location"] == "/dives/new/?site=harbour-steps"
    page = owner_client.get(back.headers["Location"]).content.decode()
    for value in TYPED.values():
        assert value in page
    assert f'<option value="{Site.objects.get().pk}" selected>' in page
    answer = owner_client.post("/dives/new/", TYPED | {"site": Site.objects.get().pk, "once": "k"})
    assert answer.status_code == 302 and Dive.objects.get().minutes == 41


def test_they_come_back_once_and_also_without_a_site(owner_client):
    owner_client.post("/dives/new/", TYPED | {"act": "add-site"})
    assert "Low sun." in owner_client.get("/dives/new/").content.decode()
    assert "Low sun." not in owner_client.get("/dives/new/").content.decode()


def test_a_dive_on_record_gets_its_words_back_and_no_other(owner_client):
    dive = factories.dive()
    address = f"/dives/{dive.year}/{dive.ordinal}/edit/"
    owner_client.post(address, TYPED | {"act": "add-site"})
    assert "Low sun." not in owner_client.get("/dives/new/").content.decode()
    page = owner_client.get(address).content.decode()
    assert "Low sun." in page and "Ida Brandt" in page


def test_a_site_added_for_itself_leads_to_its_page(owner_client):
    answer = owner_client.post("/dives/sites/new/", SITE)
    assert answer.headers["Location"] == "/dives/sites/harbour-steps/"
