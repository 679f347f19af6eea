"""The page that makes pages to carry away: what it says first, what it refuses, how it ends."""

import threading

import pytest
from django.urls import reverse

from catalogue.exchange.backup import running
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.photos.drawn import jpeg
from tests.posted import post_form

PAGES = "/safekeeping/pages/"


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    """What would run in a thread of its own runs before the answer; nothing runs at first."""
    monkeypatch.setattr(running, "_current", None)
    monkeypatch.setattr(running, "begin", lambda name, work: running.run_here(name, work, threading.Event()))


@pytest.fixture
def stick(tmp_path_factory):
    return tmp_path_factory.mktemp("stick")


def test_it_says_what_leaves_and_what_stays(owner_client, db, data_folder):
    named, near = make.site("Heron Ledge", show_as="exact"), make.site("Whelk Bank", show_as="rounded")
    hidden = make.site("Tallow Cove", show_as="hidden")
    free = make.find("Soda bottle", site=named, standing="free")
    make.find("Jar from Tallow Cove", site=hidden, shared=True)
    make.find("Ink cone", site=near, shared=True)
    make.find("Flask")
    sealed = make.find("Sealed flask", shared=True)
    Specimen.objects.filter(pk=sealed.pk).update(care_flags="|?odd|")
    take_in(jpeg(), subject=free)
    take_in(jpeg(tint=9), subject=free, role=Photo.Role.REFERENCE)
    page = " ".join(owner_client.get(PAGES).content.decode().split())
    for words in (
        "3 that visitors may see; 1 of them is free to take",
        "<dd>1, made smaller",
        "Heron Ledge: by name.",
        "1 piece: the water and a rounded position.",
        "1 piece from hidden sites: nothing.",
        "1 that only you see; 1 held back by a hazard",
        "of 1 piece, as they tell a site",
        "<dd>1 that only you see</dd>",
        "nothing is sent anywhere",
    ):
        assert words in page, words
    assert Site.objects.count() == 3 and not (data_folder / "pages").exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", ["bottles", "bottles.zip"])
def test_it_makes_them_and_says_when_they_are_whole(owner_client, data_folder, stick, name):
    make.find("Soda bottle", standing="free")
    make.find("Ink cone", shared=True)
    answer = post_form(owner_client, PAGES, {"target": str(stick / name), "which": "free"})
    assert answer.status_code == 302 and answer.url == PAGES
    assert "Pages of 1 piece with 0 pictures are whole" in owner_client.get(PAGES).content.decode()
    assert [path.name for path in stick.iterdir()] == [name]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("bottles", "Write the whole way"),
        ("/no/such/folder/bottles", "There is no folder"),
        ("", "This field is required"),
        ("/" + "x" * 2000, "900 go in"),
        ("/tmp/" + "x" * 400, "That can&#x27;t be used"),
    ],
)
def test_where_they_can_not_go_is_said_by_its_field_and_kept(owner_client, db, typed, said):
    answer = post_form(owner_client, PAGES, {"target": typed, "which": "shown"})
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page
    assert typed in page
    assert running.current() is None


def test_an_odd_choice_is_refused(owner_client, db, stick):
    answer = post_form(owner_client, PAGES, {"target": str(stick / "x"), "which": "everything"})
    assert answer.status_code == 422 and "Choose one of these two." in answer.content.decode()


def test_while_something_runs_it_waits(owner_client, db, stick, monkeypatch):
    monkeypatch.setattr(running, "begin", lambda *given: None)
    answer = post_form(owner_client, PAGES, {"target": str(stick / "x"), "which": "shown"})
    assert answer.status_code == 302
    assert "Something runs already" in owner_client.get(PAGES).content.decode()


def test_safekeeping_leads_there(owner_client, db):
    assert (
        f'href="{PAGES}">Make pages</a>'
        in owner_client.get(reverse("safekeeping:safekeeping")).content.decode()
    )
