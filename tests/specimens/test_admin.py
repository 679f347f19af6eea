"""The plain administration pages of this room: they open and they search."""

import pytest

from tests import factories

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("administration")]
KINDS = ["specimen", "maker", "town", "bottler", "product", "opinion", "move", "wish"]


@pytest.mark.parametrize("kind", KINDS)
def test_lists_open_and_search(owner_client, kind):
    factories.find(town=factories.town(), bottler=factories.bottler(), place=factories.place())
    factories.brackwater()
    for query in ("", "?q=marrowby"):
        assert owner_client.get(f"/admin/specimens/{kind}/{query}").status_code == 200


def test_finds_and_makers_are_added_by_the_catalogue_alone(owner_client):
    for kind in ("specimen", "maker"):
        assert owner_client.get(f"/admin/specimens/{kind}/add/").status_code == 403


def test_a_visitor_is_sent_away(client):
    assert client.get("/admin/specimens/specimen/").status_code == 302
