"""Text is compressed on its way, pictures and PDFs are not; what a browser keeps is still compared."""

import gzip

import pytest
from django.http import FileResponse, HttpResponse, HttpResponseNotModified
from django.test import RequestFactory

from catalogue.access.middleware import CompressedText
from catalogue.photos.services import take_in
from tests import factories
from tests.photos.drawn import jpeg

BROWSER = {"Accept-Encoding": "gzip, deflate, br"}
SHEET = "/static/common/tokens.css"


def passed(answer, **headers):
    request = RequestFactory().get("/", headers=BROWSER | headers)
    return CompressedText(lambda request: answer)(request)


@pytest.mark.django_db
def test_a_page_comes_compressed_and_is_kept_by_no_cache(owner_client):
    plain = owner_client.get("/makers/")
    assert "Content-Encoding" not in plain.headers and "Accept-Encoding" in plain["Vary"]
    page = owner_client.get("/makers/", headers=BROWSER)
    assert page["Content-Encoding"] == "gzip" and "Accept-Encoding" in page["Vary"]
    assert page["Cache-Control"] == "private, no-store"
    assert int(page["Content-Length"]) == len(page.content) < len(plain.content) / 3
    assert b"</html>" in gzip.decompress(page.content)


@pytest.mark.django_db
def test_a_picture_goes_as_it_is_and_is_not_sent_twice(owner_client):
    photo = take_in(jpeg(1, width=300, height=400), subject=factories.find("Jar"), role="after")
    picture = owner_client.get(f"/photos/{photo.pk}/small.jpg", headers=BROWSER)
    assert picture.status_code == 200 and "Content-Encoding" not in picture.headers
    assert picture.content.startswith(b"\xff\xd8")
    again = owner_client.get(
        f"/photos/{photo.pk}/small.jpg", headers=BROWSER | {"If-None-Match": picture["ETag"]}
    )
    assert (again.status_code, again.content) == (304, b"")


def test_static_files_are_compressed_and_not_sent_twice(client):
    sheet = client.get(SHEET, headers=BROWSER)
    whole = b"".join(client.get(SHEET))
    assert sheet["Content-Encoding"] == "gzip" and gzip.decompress(b"".join(sheet)) == whole
    again = client.get(SHEET, headers=BROWSER | {"If-None-Match": sheet["ETag"]})
    assert (again.status_code, b"".join(again)) == (304, b"")
    other = client.get(SHEET, headers=BROWSER | {"If-None-Match": 'W/"another"'})
    assert other.status_code == 200
    assert b"".join(other)


def test_a_piece_of_a_static_file_keeps_its_bytes(client):
    piece = client.get(SHEET, headers=BROWSER | {"Range": "bytes=0-9"})
    assert (piece.status_code, piece["Content-Length"]) == (206, "10")
    assert b"".join(piece) == b"".join(client.get(SHEET))[:10]


def test_the_face_of_headings_goes_as_it_is(client):
    face = client.get("/static/common/face.woff2", headers=BROWSER)
    assert "Content-Encoding" not in face.headers
    assert b"".join(face).startswith(b"wOF2")


@pytest.mark.parametrize(
    "kind", ["application/pdf", "application/zip", "application/octet-stream", "image/webp", "text/calendar"]
)
def test_what_is_no_text_for_the_screen_is_left_alone(kind):
    answer = passed(HttpResponse(b"a" * 5000, content_type=kind))
    assert "Content-Encoding" not in answer.headers and answer.content == b"a" * 5000


def test_a_file_to_keep_has_its_length(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"a" * 5000)
    with (tmp_path / "a.txt").open("rb") as file:
        answer = passed(FileResponse(file, as_attachment=True, content_type="text/plain"))
        assert answer["Content-Length"] == "5000" and b"".join(answer) == b"a" * 5000


def test_an_answer_without_a_body_gets_none():
    answer = passed(HttpResponseNotModified(headers={"Content-Type": "text/html"}))
    assert answer.content == b"" and "Content-Encoding" not in answer.headers


def test_a_browser_that_takes_no_compression_gets_plain_text():
    answer = passed(HttpResponse(b"a" * 5000), **{"Accept-Encoding": "identity"})
    assert answer.content == b"a" * 5000 and answer["Vary"] == "Accept-Encoding"
