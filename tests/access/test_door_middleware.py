"""HEAD, addresses that can't be, private pages, and sessions that stay on this machine."""

import pytest
from django.test import Client, RequestFactory

from catalogue.access import services
from catalogue.access.middleware import HeadWithoutBody
from catalogue.access.models import OneTimeKey
from tests import factories


def raw(method: str, path: str) -> tuple[int, bytes, dict[str, str]]:
    """The answer as the program hands it to a server: Django's own test client would empty it by itself."""
    from django.core.handlers.wsgi import WSGIHandler

    request = RequestFactory().generic(method, path)
    begun = {}
    answer = WSGIHandler()(
        request.environ, lambda status, headers: begun.update(status=status, headers=dict(headers))
    )
    body = b"".join(answer)
    answer.close()
    return int(begun["status"][:3]), body, begun["headers"]


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/giving/", "/nowhere/", "/enter/", "/static/nothing.css", "/"])
def test_head_is_get_without_a_body(path):
    got, head = raw("GET", path), raw("HEAD", path)
    assert (head[0], head[1]) == (got[0], b"")
    if got[1]:
        assert int(head[2]["Content-Length"]) == pytest.approx(len(got[1]), abs=200)


@pytest.mark.django_db
def test_head_of_a_file_keeps_its_headers_and_closes_it(tmp_path):
    from django.http import FileResponse

    (tmp_path / "a.jpg").write_bytes(b"12345")
    file = (tmp_path / "a.jpg").open("rb")
    answer = HeadWithoutBody(lambda request: FileResponse(file))(RequestFactory().head("/"))
    assert b"".join(answer) == b""
    assert (answer["Content-Length"], answer["Content-Type"]) == ("5", "image/jpeg")
    answer.close()
    assert file.closed


@pytest.mark.django_db
def test_a_hosts_name_with_a_dot_at_its_end_is_refused(client, settings):
    settings.ALLOWED_HOSTS = ["localhost"]
    assert client.get("/giving/", headers={"Host": "localhost:8737"}).status_code == 200
    assert client.get("/giving/", headers={"Host": "localhost.:8737"}).status_code == 400


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/", "/finds/", "/people/", "/dives/", "/settings/", "/giving/"])
def test_what_the_owner_sees_is_kept_by_no_cache(owner_client, path):
    said = owner_client.get(path)["Cache-Control"]
    assert "private" in said and "no-store" in said


@pytest.mark.django_db
def test_a_find_and_its_words_too(owner_client):
    find = factories.find()
    assert owner_client.get(find.get_absolute_url())["Cache-Control"] == "private, no-store"


@pytest.mark.django_db
def test_a_session_of_this_machine_opens_nothing_elsewhere():
    here = Client(REMOTE_ADDR="127.0.0.1")
    here.get(f"/enter/{services.make_key(OneTimeKey.Opens.OWNER)}/")
    assert here.get("/finds/").status_code == 200
    carried = Client(REMOTE_ADDR="192.168.7.9")
    carried.cookies = here.cookies
    assert carried.get("/finds/").status_code == 302
    assert here.get("/finds/").status_code == 200


@pytest.mark.django_db
def test_a_phones_session_stays_when_its_address_changes():
    phone = Client(REMOTE_ADDR="192.168.7.9")
    phone.get(f"/enter/{services.make_key(OneTimeKey.Opens.PHONE)}/")
    moved = Client(REMOTE_ADDR="192.168.7.23")
    moved.cookies = phone.cookies
    assert moved.get("/finds/").status_code == 200


@pytest.mark.django_db
def test_a_part_of_a_page_is_refused_to_a_stranger_not_led_to_the_sign_in_page(client, owner_client):
    """The page would show the sign-in page within itself; asked for as a page, it leads there."""
    find, part = factories.find(), {"HX-Request": "true"}
    for answer in (
        client.get("/finds/", headers=part),
        client.post("/finds/dating/", {}, headers=part),
        client.get(find.get_absolute_url(), headers=part),
    ):
        assert (answer.status_code, answer.content) == (403, b"This browser was signed out.")
        assert "no-store" in answer["Cache-Control"]
    assert client.get("/finds/")["Location"] == "/enter/?next=/finds/"
    assert owner_client.get("/finds/", headers=part).status_code == 200
