"""Whose catalogue it is, how to ask, and the address on labels."""

import pytest

from catalogue.common.models import HouseSettings

pytestmark = pytest.mark.django_db


def test_it_is_kept_and_shown_again(owner_client):
    owner_client.post(
        "/settings/house/",
        {"owner_name": "Velm & Co", "ask_line": "At the boat shed", "label_address": "http://10.0.0.5:8737/"},
    )
    kept = HouseSettings.current()
    assert (kept.ask_line, kept.label_address) == ("At the boat shed", "http://10.0.0.5:8737")
    assert "Velm &amp; Co" in owner_client.get("/settings/house/").content.decode()


@pytest.mark.parametrize(
    "address", ["192.168.1.20", "ftp://x.example", "http://a b", "javascript:alert(1)", "http://"]
)
def test_what_is_no_address_is_refused_by_its_field(owner_client, address):
    answer = owner_client.post("/settings/house/", {"label_address": address})
    assert answer.status_code == 422 and "id_label_address_error" in answer.content.decode()
    assert not HouseSettings.objects.exists()


def test_there_is_only_ever_one_row():
    HouseSettings(owner_name="a").save()
    HouseSettings(owner_name="b").save()
    assert HouseSettings.objects.get().owner_name == "b"
