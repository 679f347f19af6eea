"""The giving page, for the owner and for everybody else."""

import datetime

import pytest

from catalogue.common.models import HouseSettings
from catalogue.giving.services import came_back, hand_over, mark, promise
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def finds() -> dict[str, Specimen]:
    site = make.site("Tallow Cove", latitude="44.512345", longitude="-67.251234")
    made = {
        name: make.find(f"The {name} one", site=site, place=make.place(f"Shelf of {name}"))
        for name in ("kept", "free", "shared", "promised", "given", "returned")
    }
    mark(made["free"], "free")
    made["shared"].shared = True
    made["shared"].save()
    yesterday = datetime.date.today() - datetime.timedelta(days=1)
    day = datetime.date(2025, 1, 2)
    given = promise(made["promised"], make.person("Bram Tolley"), on=day, note="window")
    # It lapsed since.
    given.until = yesterday
    given.save()
    hand_over(made["given"], make.person("Edda Marsh"))
    hand_over(made["returned"], make.person("Ivo Lark"))
    came_back(made["returned"])
    return made


def test_the_owner_sees_what_is_free_promised_and_gone(owner_client, finds) -> None:
    html = owner_client.get("/giving/").content.decode()
    for words in ("The free one", "Bram Tolley", "past its day", "Edda Marsh", "came back", "window"):
        assert words in html, words
    assert "The kept one" not in html
    assert html.count("<h1") == 1


def test_a_visitor_sees_free_and_shared_pieces_alone(client, finds) -> None:
    html = client.get("/giving/").content.decode()
    assert "The free one" in html
    assert "The shared one" in html
    for words in (
        "The kept one",
        "The promised one",
        "The given one",
        "Bram",
        "Edda",
        "Shelf of",
        "Cove",
        "44.51",
    ):
        assert words not in html, words
    assert "Clean does not mean fit to drink from" in html


def test_pieces_to_take_come_first(client, finds) -> None:
    html = client.get("/giving/").content.decode()
    assert html.index("The free one") < html.index("The shared one")


def test_the_owner_can_look_through_a_visitors_eyes(owner_client, finds) -> None:
    html = owner_client.get("/giving/?as-visitor").content.decode()
    assert "The shared one" in html
    assert "Bram Tolley" not in html


def test_how_to_ask_is_as_the_owner_wrote_it(client, finds) -> None:
    HouseSettings(owner_name="Wren Hallow", ask_line="At the boat shed on Sundays <i>only</i>").save()
    html = client.get("/giving/").content.decode()
    assert "Wren Hallow" in html
    assert "At the boat shed on Sundays &lt;i&gt;only&lt;/i&gt;" in html


def test_an_empty_page_says_so(client, owner_client) -> None:
    assert "Nothing to give away just now." in client.get("/giving/").content.decode()
    assert "Nothing is free to take." in owner_client.get("/giving/").content.decode()


@pytest.mark.parametrize("page", ["999999", "-1", "x", ""])
def test_a_page_that_is_not_there_is_the_nearest(client, finds, page: str) -> None:
    assert client.get("/giving/", {"page": page}).status_code == 200


def test_wrong_method(client, owner_client) -> None:
    assert client.post("/giving/").status_code == 405
    assert owner_client.post("/giving/").status_code == 405


def test_it_takes_few_queries(client, owner_client, finds, django_assert_max_num_queries) -> None:
    """Visitor: how many, the finds, hidden sites and whom they may be told of, their pictures, the axis, the
    house's words. Owner: session, user, how
    many, the finds, their pictures, the axis, promises with their requests, who asks, hand-overs, permissions
    of all their sites."""
    with django_assert_max_num_queries(7):
        client.get("/giving/")
    with django_assert_max_num_queries(11):
        owner_client.get("/giving/")
