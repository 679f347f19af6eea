"""What the code of a label holds: never this computer's own address unasked; as it was chosen last."""

import pytest
from django.test import RequestFactory

from catalogue.common.models import HouseSettings
from catalogue.labels.code_address import (
    NUMBER_ALONE,
    code_choices,
    code_text,
    opens_here_alone,
    remember_code,
    usual_code,
)

pytestmark = pytest.mark.django_db
LAN = "http://192.168.7.20:8737"


@pytest.fixture
def default_start(settings, monkeypatch):
    """As `start` leaves it: served to this computer alone, which has one address on a network."""
    settings.LAN, settings.LAN_ADDRESSES, settings.LAN_NAMES, settings.PORT = False, [], [], 8737
    settings.ALLOWED_HOSTS = ["127.0.0.1", "localhost", "bottles.example"]
    monkeypatch.setattr("catalogue.access.startup.network.routed_addresses", lambda: ["192.168.7.20"])
    return settings


def read_at(host: str):
    return RequestFactory().get("/labels/", headers={"host": f"{host}:8737"})


@pytest.mark.parametrize(
    ("address", "alone"),
    [
        ("http://127.0.0.1:8737", True),
        ("http://127.9.9.9", True),  # RFC 1122: all of 127/8
        ("http://localhost:8737", True),
        ("http://x.localhost", True),  # RFC 6761
        ("http://[::1]:8737", True),  # RFC 4291
        (LAN, False),
        ("https://bottles.example", False),
    ],
)
def test_an_address_of_this_computer_alone_is_told(address, alone):
    assert opens_here_alone(address) is alone


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
def test_a_default_start_offers_no_address_of_its_own_and_takes_the_number(default_start, host):
    choices = code_choices(HouseSettings(), read_at(host))
    assert [choice.value for choice in choices] == [LAN, NUMBER_ALONE]
    assert "started with --lan" in choices[0].why
    assert usual_code(HouseSettings(), read_at(host)) == NUMBER_ALONE


def test_one_open_to_the_network_takes_its_address_there_and_offers_its_name(default_start):
    default_start.LAN, default_start.LAN_ADDRESSES = True, ["192.168.7.20"]
    default_start.LAN_NAMES = ["siltbox.local"]
    choices = code_choices(HouseSettings(), read_at("127.0.0.1"))
    assert [choice.value for choice in choices] == [LAN, "http://siltbox.local:8737", NUMBER_ALONE]
    assert not any("--lan" in choice.why for choice in choices)
    assert usual_code(HouseSettings(), read_at("127.0.0.1")) == LAN


def test_one_read_under_a_name_takes_that(default_start):
    assert usual_code(HouseSettings(), read_at("bottles.example")) == "http://bottles.example:8737"


def test_the_choice_is_remembered_and_an_address_survives_the_number(default_start):
    remember_code(HouseSettings.current(), "http://10.0.0.9:8000")
    house = HouseSettings.current()
    assert usual_code(house, read_at("localhost")) == "http://10.0.0.9:8000"
    remember_code(house, NUMBER_ALONE)
    house = HouseSettings.current()
    assert usual_code(house, read_at("localhost")) == NUMBER_ALONE
    assert code_choices(house, read_at("localhost"))[0].value == "http://10.0.0.9:8000"


def test_the_code_holds_the_short_address_or_the_number():
    assert code_text(LAN, "2026.14.3") == f"{LAN}/f/2026.14.3"
    assert code_text(NUMBER_ALONE, "2026.14.3") == "2026.14.3"
