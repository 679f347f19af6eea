"""The exhibit: pieces that visitors may see, with a picture, the owner's choice of them; nothing else."""

import json
import re

import pytest

from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.conftest import laid_out
from tests.photos.drawn import jpeg


def four_pieces() -> None:
    """One free, one shared of a hidden site's name, one shared without a picture, one private."""
    hidden = make.site("Tallow Cove", show_as="hidden", water_body="Velmoor Sound")
    given = {"site": hidden, "town": make.town()}
    free = make.find("Soda bottle", standing="free", **given)
    telling = make.find("Jar from Tallow Cove", shared=True, kind="food", **given)
    make.find("Flask", shared=True)
    private = make.find("Quorrel cone")
    for n, find in enumerate((free, telling, private)):
        take_in(jpeg(tint=n * 10), subject=find, role=Photo.Role.AFTER)


@pytest.fixture(scope="module")
def made(module_pictures):
    return module_pictures(four_pieces)


@pytest.fixture
def catalogue(made, db, data_folder):
    laid_out(made, data_folder)


def exhibited(answer) -> list[list]:
    found = re.search(r'id="exhibit-pieces" type="application/json">(.*?)</script>', answer.content.decode())
    return json.loads(found[1]) if found else []


def test_visitors_see_what_is_shared_and_pictured(catalogue, client):
    answer = client.get("/exhibit/")
    shown = exhibited(answer)
    assert [piece[1] for piece in shown] == ["Soda bottle", "food"]
    assert not re.search(r"Tallow|Velmoor Sound|Quorrel", answer.content.decode())
    assert client.get(shown[0][5]).status_code == 200


def test_the_owner_sees_no_more_and_may_choose(catalogue, client, owner_client):
    assert exhibited(owner_client.get("/exhibit/")) == exhibited(client.get("/exhibit/"))
    chosen = owner_client.get("/exhibit/?standing=free")
    assert [piece[1] for piece in exhibited(chosen)] == ["Soda bottle"]
    assert 'href="/finds/?standing=free">Leave' in chosen.content.decode()


def test_a_visitor_can_not_narrow_it(catalogue, client):
    """By a filter of sites one could ask where a piece lay."""
    whole = client.get("/exhibit/").content
    for asked in ("?site=tallow-cove", "?standing=free", "?q=Tallow"):
        assert client.get(f"/exhibit/{asked}").content == whole


def test_only_its_own_link_leads_out(catalogue, client):
    page = client.get("/exhibit/").content.decode()
    body = page[page.index("<body") :]
    links = set(re.findall(r'<a [^>]*href="([^"]+)"', body))
    assert links == {"/giving/"}


def test_with_nothing_to_show_it_says_so(db, client):
    Specimen.objects.update(shared=False, standing="kept")
    assert "Nothing that visitors may see has a picture yet." in client.get("/exhibit/").content.decode()
