"""Labels photographed at an angle: the server reads every code and ticks the pieces."""

import pytest

from catalogue.pages.shelves.check.codes import sort_codes
from catalogue.photos.label_reading import read_codes
from catalogue.photos.models import HeldPicture, Photo
from catalogue.specimens.models import ShelfCheck
from tests import factories
from tests.photos.drawn import jpeg, upload
from tests.shelves.label_shots import code_shot, shelf_shot

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def send(client, place, *files):
    return client.post(f"/shelves/{place.pk}/check/pictures/", {"pictures": list(files)}, follow=True)


@pytest.mark.parametrize(
    ("seen_from", "across", "blur"), [("left", 6, 1.5), ("right", 6, 1.5), ("above", 4, 2.5)]
)
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
    codes = (
        f"http://127.0.0.1:8000/f/{here.number}",
        stray.number,
        "T-65",
        f"http://10.0.0.9/p/{box.pk}/",
        "https://parcel.example/12",
        "1999.1.1",
    )
    shots = [upload(code_shot(*codes)), upload(code_shot(*codes, px=7), "nearer.jpg")]
    page = send(owner_client, shelf, *shots).content.decode()
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


def send_one(client, place, file, **more):
    """As the page's script sends it: one picture, answered by what it changed."""
    return client.post(f"/shelves/{place.pk}/check/pictures/", {"pictures": [file], "one": "yes", **more})


def test_one_picture_alone_is_answered_by_the_parts_of_the_page_that_it_changed(owner_client):
    shelf, box = factories.place("Hall case"), factories.place("Box")
    here, left, stray = (factories.find(place=where) for where in (shelf, shelf, box))
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    shot = code_shot(here.number, stray.number, "https://parcel.example/12")
    for _ in range(2):
        answer = send_one(owner_client, shelf, upload(shot)).json()
    assert answer["read"] == 1 and answer["pieces"] == 2 and not answer["wrong"]
    assert f'id="piece-{here.pk}"' in answer["parts"] and f'id="piece-{left.pk}"' not in answer["parts"]
    assert "1 of 2 left" in answer["parts"] and "parcel.example" in answer["parts"]
    assert 'id="check-strays" aria-labelledby="strays-head"><h2' in answer["parts"], "shown, not hidden"
    assert ShelfCheck.objects.get().pictures == 1, "sent again after its answer was lost, it is one picture"
    bad = send_one(owner_client, shelf, upload(b"no picture", "words.jpg")).json()
    assert bad["wrong"].startswith("words.jpg:") and not bad["said"] and bad["read"] == 0
    owner_client.post(f"/shelves/{shelf.pk}/check/end/")
    assert send_one(owner_client, shelf, upload(shot)).status_code == 404


def test_a_picture_read_while_the_check_was_ended_says_so(owner_client, monkeypatch):
    from catalogue.pages.shelves.check import pictures
    from catalogue.specimens.services import shelf_checks

    shelf = factories.place("Hall case")
    find = factories.find(place=shelf)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    check, read = ShelfCheck.objects.get(), pictures.codes_noted_in

    def slow(source):
        shelf_checks.end_check(check, [shelf.pk])
        return read(source)

    monkeypatch.setattr(pictures, "codes_noted_in", slow)
    answer = send_one(owner_client, shelf, upload(code_shot(find.number)))
    assert answer.status_code == 409 and answer.json()["ended"]
    assert "ended meanwhile" in answer.json()["wrong"]


def test_a_piece_on_a_wrong_shelf_of_the_room_is_told_and_moved_by_one_touch(owner_client):
    room = factories.place("Attic")
    one, two = factories.place("Shelf 1", room), factories.place("Shelf 2", room)
    right, astray, third = (factories.find(place=where) for where in (two, one, one))
    outside = factories.find(place=factories.place("Box"))
    owner_client.post(f"/shelves/{room.pk}/check/start/", {"inside": "on"})
    finds = (right, astray, third, outside)
    shot = code_shot(*(find.number for find in finds), f"PLACE-{two.pk}")
    # Nobody said where they hang: only what is on record is told, and the place is asked.
    said = send_one(owner_client, room, upload(shot)).json()["said"]
    assert f"By the record they stand in Shelf 1 (2: {astray.number}, {third.number}) and" in said
    assert "If all these stand in Shelf 2, choose it" in said
    check = ShelfCheck.objects.get()
    assert set(check.pieces.values_list("seen", flat=True)) == {"here"}
    said = send_one(owner_client, room, upload(shot), stand=str(two.pk)).json()["said"]
    assert "1 ticked as here, 2 recorded in another place inside:" in said
    assert f"{astray.number} (Attic, Shelf 1)" in said and "1 not recorded here" in said
    assert check.pieces.get(find=astray).elsewhere == two and check.pieces.get(find=right).seen == "here"
    owner_client.post(f"/shelves/{room.pk}/check/end/")
    result = f"/shelves/{room.pk}/checks/{check.pk}/"
    page = owner_client.get(result).content.decode()
    assert "Move all 2 to <bdi>Shelf 2</bdi>" in page and "Move to Shelf 2" in page
    done = owner_client.post(f"{result}all/{two.pk}/", follow=True).content.decode()
    assert "3 pieces are now in Attic, Shelf 2." in done


def test_a_place_that_is_not_inside_says_nothing_of_where_they_stand(owner_client):
    shelf, box = factories.place("Hall case"), factories.place("Box")
    find = factories.find(place=shelf)
    owner_client.post(f"/shelves/{shelf.pk}/check/start/")
    for stand in (str(box.pk), "x", "-1", "9" * 30):
        send_one(owner_client, shelf, upload(code_shot(find.number)), stand=stand)
        row = ShelfCheck.objects.get().pieces.get()
        assert row.seen == "here" and row.elsewhere is None
