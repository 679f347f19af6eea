"""A NUL in an address or a cookie never reaches the database."""

import pytest
from django.db import DataError

from tests import factories

pytestmark = pytest.mark.django_db
ADDRESSES = (
    "/makers/%00/",
    "/towns/a%00b/",
    "/dives/sites/%00/",
    "/%00",
    "/enter/%00/",
)


@pytest.mark.parametrize("address", ADDRESSES)
def test_it_leads_nowhere(owner_client, client, address):
    for browser in (owner_client, client):
        answer = browser.get(address)
        assert answer.status_code == 404
        assert "There is nothing at this address" in answer.content.decode()


@pytest.mark.parametrize(
    "address", ["/finds/?q=%00", "/finds/new/?like=%00", "/finds/suggest/town/?town=a%00", "/makers/?q=%00"]
)
def test_behind_the_question_mark_it_is_never_the_programs_fault(owner_client, address):
    assert owner_client.get(address).status_code in (200, 400, 404)


def test_a_database_that_refuses_to_look_finds_nothing(owner_client, monkeypatch):
    def refuse(request):
        raise DataError("PostgreSQL text fields cannot contain NUL (0x00) bytes")

    monkeypatch.setattr("catalogue.pages.home.views.to_do", lambda **given: refuse(None))
    factories.find()
    answer = owner_client.get("/?like=%00")
    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.content.decode()
    owner_client.raise_request_exception = False
    assert owner_client.get("/").status_code == 500


def test_a_letter_nought_is_none(owner_client):
    assert owner_client.get("/finds/?q=%2500").status_code == 200
    assert owner_client.get("/finds/?q=00").status_code == 200


def test_a_cookie_with_one_is_not_looked_up(client, settings):
    client.cookies.load({settings.SESSION_COOKIE_NAME: "a" * 31})
    client.cookies[settings.SESSION_COOKIE_NAME].set(
        settings.SESSION_COOKIE_NAME, "a" * 31 + "\x00", "a" * 31 + "\x00"
    )
    assert client.get("/giving/").status_code == 400
