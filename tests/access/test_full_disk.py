"""A full disk: the form comes back with its words and says so; nothing is half-saved."""

import errno

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client

from catalogue.people.models import Person
from catalogue.photos.models import HeldPicture
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests.photos.drawn import encoded, picture

LONG = "Silt over clay, visibility poor. " * 300
SITE = {"name": "Harbour steps", "show_as": "hidden", "notes": LONG} | dict.fromkeys(
    ("tidal", "wreck", "military"), "unknown"
)
pytestmark = pytest.mark.django_db


@pytest.fixture
def full_disk():
    """SQLite told that its file may not grow: it raises the very error of a full disk."""
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite can be told how large its file may become")
    with connection.cursor() as cursor:
        (most,) = cursor.execute("PRAGMA max_page_count").fetchone()
        # Pages that other tests left free would take in what is written: fill them first.
        (free,) = cursor.execute("PRAGMA freelist_count").fetchone()
        (page,) = cursor.execute("PRAGMA page_size").fetchone()
        cursor.execute("CREATE TABLE filler (content BLOB)")
        cursor.execute(f"INSERT INTO filler VALUES (zeroblob({free * page}))")
        cursor.execute("PRAGMA max_page_count = 1")
        yield
        cursor.execute(f"PRAGMA max_page_count = {most}")


@pytest.mark.parametrize(
    ("address", "typed", "kind"),
    [
        ("/dives/sites/new/", SITE, Site),
        ("/finds/new/", {"what": "Aqua soda bottle", "notes": LONG, "act": "save", "once": "a"}, Specimen),
        ("/people/new/", {"name": "Ida Brandt", "notes": LONG, "once": "b"}, Person),
    ],
)
def test_a_form_keeps_its_words_and_says_that_the_disk_is_full(owner_client, full_disk, address, typed, kind):
    answer = owner_client.post(address, typed)
    assert answer.status_code == 507
    page = answer.content.decode()
    assert "The disk of the catalogue is full" in page
    assert LONG.strip()[:200] in page, "the words are in the form"
    assert "the program’s fault" not in page and "program's fault" not in page
    assert kind.objects.count() == 0


def test_the_log_has_it_as_a_warning_and_as_no_error(owner_client, full_disk, caplog):
    """Nothing of the program is to be mended; a page without a form of its own is told the same way."""
    owner_client.post("/dives/sites/new/", SITE)
    said = [(record.levelname, record.name) for record in caplog.records if record.levelno >= 30]
    assert said == [("WARNING", "siltmark.errors")]


@pytest.fixture
def read_only(db):
    """The database told to take no word: it raises the very error of a disk that can only be read."""
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite has such a switch")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        yield
        cursor.execute("PRAGMA query_only = OFF")


def test_a_disk_that_can_only_be_read_is_said_and_the_words_stay(owner_client, read_only):
    answer = owner_client.post("/dives/sites/new/", SITE)
    assert answer.status_code == 507
    page = answer.content.decode()
    assert "The disk of the catalogue can only be read just now" in page
    assert LONG.strip()[:200] in page


def test_the_same_form_is_kept_once_there_is_room(owner_client, full_disk):
    typed = SITE | {"once": "k"}
    assert owner_client.post("/dives/sites/new/", typed).status_code == 507
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA max_page_count = 1000000")
    assert owner_client.post("/dives/sites/new/", typed).status_code == 302
    assert Site.objects.count() == 1


def no_room(*args, **kwargs):
    raise OSError(errno.ENOSPC, "No space left on device")


def test_what_did_not_even_arrive_is_said_too(owner_client, monkeypatch):
    """The request itself is spooled to the disk, in a layer around the view."""
    client = Client(raise_request_exception=False)
    client.cookies = owner_client.cookies
    monkeypatch.setattr("django.middleware.csrf.CsrfViewMiddleware.process_view", no_room)
    answer = client.post("/dives/sites/new/", {"name": "Harbour steps"})
    assert answer.status_code == 507
    page = answer.content.decode()
    assert "The disk is full" in page
    assert "Harbour steps" in page and "Send it again" in page


def test_a_page_without_a_form_of_its_own_lists_what_was_sent(owner_client, monkeypatch):
    monkeypatch.setattr("catalogue.people.models.Person.full_clean", no_room)
    answer = owner_client.post("/people/new/", {"name": "Ida Brandt", "notes": "knows the bay", "once": "c"})
    assert answer.status_code == 507
    page = answer.content.decode()
    assert "<li>knows the bay</li>" in page and 'name="once" hidden' in page


def test_a_picture_is_told_apart_from_one_that_is_refused(owner_client, monkeypatch):
    """The picker tries again by itself what only lacks room."""
    monkeypatch.setattr("catalogue.photos.files.keep_original", no_room)
    answer = owner_client.post("/photos/hold/", {"pictures": encoded_file()})
    assert answer.status_code == 507
    assert "no room left on the disk" in answer.json()["error"]
    assert HeldPicture.objects.count() == 0


def encoded_file() -> SimpleUploadedFile:
    return SimpleUploadedFile("wet.jpg", encoded(picture()), content_type="image/jpeg")


def test_script_is_answered_in_its_own_words(owner_client, monkeypatch):
    monkeypatch.setattr("catalogue.pages.photos.holding.hold", no_room)
    answer = owner_client.post(
        "/photos/hold/", {"pictures": encoded_file()}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 507
    assert "disk of the catalogue is full" in answer.json()["error"]


def test_other_errors_are_still_the_programs_own(owner_client, monkeypatch):
    client = Client(raise_request_exception=False)
    client.cookies = owner_client.cookies

    def broken(*args, **kwargs):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr("catalogue.people.models.Person.full_clean", broken)
    assert client.post("/people/new/", {"name": "Ida Brandt"}).status_code == 500
