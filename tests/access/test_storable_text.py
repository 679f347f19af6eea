"""Text that no column can store reaches no page: each address refuses it in one sentence, nothing saved."""

from contextlib import closing
from pathlib import Path
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test import Client, RequestFactory, override_settings

from catalogue.access.storable_text import UNSTORABLE_COOKIE, UNSTORABLE_FORM, UNSTORABLE_QUERY
from catalogue.common.text import is_storable, with_unstorable_shown
from catalogue.exchange.backup import running
from catalogue.shelves.models import Place
from tests import factories
from tests.access.address_table import rows
from tests.access.example_rows import Examples, made_examples
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.django_db
WRITES = ("INSERT", "UPDATE", "DELETE")


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(made_examples)


def said_of(html: str) -> str:
    return html.replace("&#x27;", "'")


@pytest.mark.parametrize("role", ["owner", "visitor"])
def test_no_address_lets_it_through(role: str, made, owner, monkeypatch) -> None:
    monkeypatch.setattr(running, "begin", lambda name, work: pytest.fail(name))
    browser, examples = Client(raise_request_exception=False), made[0]
    if role == "owner":
        browser.force_login(owner)
    wrong, written = [], []

    def listen(execute, sql, *more):
        written.extend([sql] if sql.startswith(WRITES) else [])
        return execute(sql, *more)

    files = override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files")
    with files, connection.execute_wrapper(listen):
        for row in rows():
            asked, closed = examples.fill(row.address), role == "visitor" and row.visitor == "closed"
            said = browser.get(f"{asked}{'&' if '?' in asked else '?'}q=a%00b")
            if said.status_code != (302 if closed else 400):
                wrong.append((said.status_code, "GET", asked))
            said = browser.post(asked, {"note": "a\0b"})
            # A program's key sends no form: that address reads none.
            if said.status_code != (405 if row.owner == "key" else 302 if closed else 400):
                wrong.append((said.status_code, "POST", asked))
    assert wrong == []
    assert written == []


@pytest.mark.parametrize("sent", [{"name": "good", "a\0b": "good"}, {"name": "good", "find": ["1", "\0"]}])
def test_it_may_stand_anywhere(owner_client, sent) -> None:
    """In a name, in the second value of one; in either kind of form and in the address it is sent to."""
    plain, of_forms = urlencode(sent, doseq=True), "application/x-www-form-urlencoded"
    assert owner_client.get("/shelves/", sent).status_code == 400
    assert owner_client.post("/shelves/new/", sent).status_code == 400
    assert owner_client.post("/shelves/new/", plain, content_type=of_forms).status_code == 400
    assert owner_client.post(f"/shelves/new/?{plain}", {"name": "good"}).status_code == 400
    assert not Place.objects.filter(name="good").exists()


def test_a_form_is_answered_in_one_sentence_with_what_was_typed(owner_client) -> None:
    typed = {"name": "Tarn\0Rock", "notes": "Ten metres & sand\nthen rock", "once": "key", "n": " "}
    said = owner_client.post("/dives/sites/new/", typed)
    page = said_of(said.content.decode())
    assert said.status_code == 400 and page.count(UNSTORABLE_FORM) == 1
    assert "<li>Tarn\ufffdRock</li>" in page and "Ten metres &amp; sand<br>then rock" in page
    assert "\0" not in page and "<li>key</li>" not in page


def test_an_address_is_answered_in_one_sentence(owner_client) -> None:
    page = said_of(owner_client.get("/finds/?q=%00").content.decode())
    assert page.count(UNSTORABLE_QUERY) == 1 and "what you typed" not in page


def test_a_password_is_not_shown(owner_client) -> None:
    typed = {"present": "first\0secret", "password": "new secret", "again": "new secret"}
    said = owner_client.post("/settings/password/", typed)
    assert said.status_code == 400 and "secret" not in said.content.decode()


def test_scripts_and_programs_are_told_in_json(owner_client) -> None:
    said = owner_client.post("/shelves/new/", {"name": "\0"}, headers={"Accept": "application/json"})
    assert (said.status_code, said.json()) == (400, {"error": UNSTORABLE_FORM})
    asked = owner_client.get("/api/v1/finds/?q=%00")
    assert (asked.status_code, asked.json()["detail"]) == (400, UNSTORABLE_QUERY)


@pytest.mark.parametrize("address", ["/makers/%00/", "/towns/a%00b/", "/finds/\0/", "/%00", "/enter/%00/"])
def test_a_path_with_one_leads_nowhere(owner_client, client, address) -> None:
    for browser in (owner_client, client):
        said = browser.get(address)
        assert said.status_code == 404
        assert "There is nothing at this address" in said.content.decode()


@pytest.mark.parametrize("value", ["a" * 31 + "\0", '"' + "a" * 31 + '\\000"'])
def test_a_cookie_with_one_is_not_looked_up(settings, django_assert_num_queries, value) -> None:
    """As it is, and as a cookie in quotes writes it."""
    with django_assert_num_queries(0):
        said = Client().get("/giving/", HTTP_COOKIE=f"{settings.SESSION_COOKIE_NAME}={value}")
    assert said.status_code == 400 and UNSTORABLE_COOKIE in said_of(said.content.decode())


def test_what_only_looks_like_one_is_let_through(owner_client) -> None:
    # a percent sign and figures, figures, and bytes that are no UTF-8: Django puts U+FFFD there
    for query in ("q=%2500", "q=00", "q=%ED%A0%80", "q=%ff"):
        assert owner_client.get(f"/finds/?{query}").status_code == 200


def test_a_files_bytes_are_free_and_its_name_is_cleared(owner_client, data_folder) -> None:
    find = factories.find()
    picture = jpeg(width=300, height=200).read()
    assert b"\0" in picture
    assert name_read(picture, 'filename="bo\0ttle.jpg"') == "bottle.jpg"
    assert name_read(picture, "filename*=UTF-8''bo%00ttle.jpg") == "bottle.jpg"
    body, kind = request_body(picture, 'filename="bo\0ttle.jpg"')
    said = owner_client.generic("POST", f"/photos/add/?find={find.pk}", body, content_type=kind)
    assert said.status_code == 302 and find.photos.count() == 1


def request_body(picture: bytes, name: str) -> tuple[bytes, str]:
    head = f'--limit\r\nContent-Disposition: form-data; name="pictures"; {name}\r\n'
    body = head.encode() + b"Content-Type: image/jpeg\r\n\r\n" + picture + b"\r\n--limit--\r\n"
    return body, "multipart/form-data; boundary=limit"


def name_read(picture: bytes, name: str) -> str | None:
    """What the name of an upload is to a view."""
    body, kind = request_body(picture, name)
    request = RequestFactory().generic("POST", "/", body, content_type=kind)
    with closing(request):
        (upload,) = request.FILES.values()
        return upload.name


def test_an_address_within_a_field_is_taken_apart_as_carefully(owner_client) -> None:
    """The choice of a list comes as the query of an address: %00 in it is a NUL only there."""
    factories.find()
    said = owner_client.post("/finds/many/", {"choice": "?q=%00"})
    assert said.status_code == 422 and "can&#x27;t be followed" in said.content.decode()
    owner_client.post("/finds/views/new/", {"name": "Odd", "query": "q=a%00b&colour=blue"})
    assert b"%00" not in owner_client.get("/finds/").content


@pytest.mark.parametrize("text", ["", "a", "\x01\x07\x1f", "\ufffe\uffff", "🍾", "%00", "\u202e", "قارورة"])
def test_every_other_text_can_be_stored(text: str) -> None:
    assert is_storable(text) and with_unstorable_shown(text) == text


@pytest.mark.parametrize("text", ["\0", "a\0b", "\ud800", "x\udfff"])
def test_these_can_not(text: str) -> None:
    assert not is_storable(text) and is_storable(with_unstorable_shown(text))
