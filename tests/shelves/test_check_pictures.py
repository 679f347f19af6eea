"""Labels photographed at an angle: the server reads every code and ticks the pieces."""

import numpy
import pytest
from PIL import Image

from catalogue.common.qr_code import modules
from catalogue.pages.shelves.check.codes import sort_codes
from catalogue.photos.label_reading import read_codes
from catalogue.photos.models import HeldPicture, Photo
from catalogue.specimens.models import ShelfCheck
from tests import factories
from tests.photos.drawn import encoded, jpeg, upload
from tests.shelves.label_shots import shelf_shot

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def code_shot(*texts: str, px: int = 6) -> bytes:
    """Codes side by side, straight, on grey."""
    drawn = []
    for text in texts:
        rows = numpy.array([list(row) for row in modules(text)], dtype=numpy.uint8)
        drawn.append(Image.fromarray(255 - 255 * numpy.pad(rows, 4).repeat(px, 0).repeat(px, 1)))
    shot = Image.new(
        "L", (sum(each.width + 40 for each in drawn), max(each.height for each in drawn) + 80), 200
    )
    at = 20
    for each in drawn:
        shot.paste(each, (at, 40))
        at += each.width + 40
    return encoded(shot.convert("RGB"))


def send(client, place, *files):
    return client.post(f"/shelves/{place.pk}/check/pictures/", {"pictures": list(files)}, follow=True)


@pytest.mark.parametrize(("seen_from", "across", "blur"), [("left", 6, 1.5), ("above", 4, 2.5)])
def test_labels_seen_aslant_and_blurred_are_all_read(seen_from, across, blur):
    codes = [(f"2026.14.{n}", f"http://192.168.1.20:8737/f/2026.14.{n}") for n in range(1, 3 * across + 1)]
    shot = shelf_shot(codes, seen_from=seen_from, across=across, blur=blur)
    assert set(read_codes(shot.convert("L"))) == {code for _, code in codes}


def test_pieces_are_ticked_and_strays_places_and_unknown_codes_named(owner_client):
    shelf, box = factories.place("Hall case"), factories.place("Box")
    here, tagged, unseen = (factories.find(place=shelf, **more) for more in ({}, {"field_tag": "T-65"}, {}))
    stray = factories.find(place=box)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    check = ShelfCheck.objects.get()
    shot = code_shot(
        f"http://127.0.0.1:8000/f/{here.number}",
        stray.number,
        "T-65",
        f"http://10.0.0.9/p/{box.pk}/",
        "https://parcel.example/12",
        "1999.1.1",
    )
    page = send(owner_client, shelf, upload(shot), upload(shot, "again.jpg")).content.decode()
    assert "3 labels of pieces read in 2 pictures: 2 ticked as here, 1 not recorded here." in page
    assert "A label of another place was read too: Box." in page and "2 codes name nothing" in page
    assert "https://parcel.example/12" in page and "1 of 3 left" in page and "read in a picture" in page
    check.refresh_from_db()
    assert check.pictures == 2 and set(check.unknown) == {"https://parcel.example/12", "1999.1.1"}
    assert {row.find for row in check.pieces.all()} == {here, tagged, stray}
    assert check.pieces.get(find=stray).recorded == box and not check.pieces.filter(find=unseen).exists()
    assert not Photo.everything.exists() and not HeldPicture.objects.exists(), "pictures are not kept"


def test_a_place_label_of_its_own_is_said(owner_client):
    shelf = factories.place("Hall case")
    factories.find(place=shelf)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    page = send(owner_client, shelf, upload(code_shot(f"PLACE-{shelf.pk}"))).content.decode()
    assert "0 labels of pieces read in 1 picture." in page and "The place&#x27;s own label was read." in page


def test_what_cannot_be_read_is_named_and_the_rest_goes_on(owner_client):
    shelf = factories.place("Hall case")
    find = factories.find(place=shelf)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    page = send(
        owner_client,
        shelf,
        upload(b"no picture", "words.jpg"),
        jpeg(name="empty.jpg"),
        upload(code_shot(find.number), "good.jpg"),
    ).content.decode()
    assert "words.jpg:" in page and "empty.jpg: no code was found in it" in page
    assert "1 label of pieces read in 2 pictures" in page and "All 1 ticked" in page
    assert "No picture arrived" in send(owner_client, shelf).content.decode()


def test_more_pictures_than_go_at_once_are_said(owner_client, monkeypatch):
    from catalogue.pages.shelves.check import pictures

    monkeypatch.setattr(pictures, "READ_AT_ONCE", 1)
    shelf = factories.place("Hall case")
    one, two = factories.find(place=shelf), factories.find(place=shelf)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    shots = [upload(code_shot(find.number), f"{find.number}.jpg") for find in (one, two)]
    page = send(owner_client, shelf, *shots).content.decode()
    assert "send the last 1 again" in page and "1 of 2 left" in page


def test_a_tag_of_two_pieces_stands_for_neither():
    for _ in range(2):
        factories.find(field_tag="T-7")
    found = sort_codes(["T-7"])
    assert not found.finds and found.unknown == ["T-7"]


def test_no_check_goes_on_no_picture_is_read(owner_client):
    shelf = factories.place("Hall case")
    assert send(owner_client, shelf, jpeg()).status_code == 404
