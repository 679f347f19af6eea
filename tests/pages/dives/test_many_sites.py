"""A list of dives stays short: of many sites a few stand open."""

import pytest

from tests import factories

pytestmark = pytest.mark.django_db


def test_of_many_sites_twelve_stand_open(owner_client):
    for n in range(15):
        factories.site(f"Site {n:02}")
    text = owner_client.get("/dives/").content.decode()
    shown, folded = text.split("<summary>3 more sites</summary>")
    assert shown.count('class="name" href="/dives/sites/') == 12
    assert folded.count('class="name" href="/dives/sites/') == 3


def test_few_sites_all_stand_open(owner_client):
    for n in range(12):
        factories.site(f"Site {n:02}")
    assert "more sites" not in owner_client.get("/dives/").content.decode()
