"""Pictures of a card arriving, one by one for the script or all together: none doubled, none lost."""

import hashlib

import pytest

from catalogue.photos import files
from catalogue.photos.models import CardPicture, Photo
from catalogue.photos.services import set_aside, take_in
from catalogue.photos.services.cards import put_on_card, sort_card
from tests.factories import dive, find
from tests.photos.card_shots import card
from tests.photos.drawn import jpeg, upload

from .card_parts import address, arrive, filled, groups, press, told


@pytest.fixture(autouse=True)
def files_of_this_test(data_folder):
    """No picture of one test is seen by another."""


@pytest.fixture
def one(db):
    return dive()


def digest(file) -> str:
    file.seek(0)
    value = hashlib.sha256(file.read()).hexdigest()
    file.seek(0)
    return value


def test_120_pictures_with_blurred_tags_and_one_out_of_order(one):
    tags = [f"T-{n}" for n in range(65, 89)]
    blurred = tags[3], tags[9], tags[10], tags[20]
    taken = filled(one, tags, each=4, blurred=blurred, out_of_order=57)
    assert len(taken) == 120 and one.card_pictures.count() == 120
    found = groups(one)
    assert [group.code for group in found] == ["" if tag in blurred else tag for tag in tags]
    assert {group.why for group in found if not group.code} <= {"pause", "unread"}
    tag_of = {digest(each.file): each.tag for each in taken}
    for group, tag in zip(found, tags, strict=True):
        assert {tag_of[picture.sha256] for picture in group.pictures.all()} == {tag}
        assert [picture.role for picture in group.pictures.all()][1:] == ["as-found"] * 4
    assert not Photo.objects.exists()


def test_one_by_one_and_asked_before_it_is_sent(owner_client, one):
    tag, piece = (each.file for each in card(["T-65"], each=1))
    assert owner_client.get(arrive(one), {"sha256": digest(tag)}).json() == {"there": False}
    answer = owner_client.post(arrive(one), {"pictures": tag})
    assert (answer.status_code, answer.json()) == (201, {"there": False, "tags": "T-65"})
    assert owner_client.get(arrive(one), {"sha256": digest(tag)}).json() == {"there": True}
    assert owner_client.post(arrive(one), {"pictures": piece}).json() == {"there": False, "tags": ""}
    assert groups(one) == []  # nothing is sorted before all are there
    tag.seek(0)
    assert owner_client.post(arrive(one), {"pictures": tag}).json()["there"]
    assert one.card_pictures.count() == 2


def test_what_is_filed_already_is_there(owner_client, one):
    take_in(jpeg(1), subject=find(dive=one))
    take_in(jpeg(2), subject=one)
    for n in (1, 2):
        assert owner_client.get(arrive(one), {"sha256": digest(jpeg(n))}).json() == {"there": True}
        assert put_on_card(jpeg(n), one) is None
    assert owner_client.get(arrive(one), {"sha256": digest(jpeg(3))}).json() == {"there": False}
    assert not one.card_pictures.exists()


def test_a_refused_picture_says_why_and_the_card_goes_on(owner_client, one):
    answer = owner_client.post(arrive(one), {"pictures": upload(b"no picture", "film.mp4")})
    assert answer.status_code == 400 and "isn't a picture" in answer.json()["error"]
    assert "No picture arrived" in owner_client.post(arrive(one)).json()["error"]
    assert not one.card_pictures.exists() and not list(files.stored())
    answer = owner_client.post(
        address(one), {"act": "add", "pictures": [jpeg(1), upload(b"x", "bad.jpg"), jpeg(1), jpeg(2)]}
    )
    assert answer.status_code == 302
    assert any(said.startswith("bad.jpg: This isn't a picture") for said in told(answer))
    assert "2 pictures added and put into groups." in told(answer) and "1 was here already." in told(answer)


def test_more_pictures_join_what_is_sorted(one):
    taken = card(["T-65", "T-66"], each=3)
    late = taken.pop(6)
    for each in taken:
        put_on_card(each.file, one)
    sort_card(one)
    one.card_groups.update(touched=True)
    before = [group.pk for group in groups(one)]
    put_on_card(late.file, one)
    sort_card(one)
    assert [group.pk for group in groups(one)] == before
    assert [group.pictures.count() for group in groups(one)] == [4, 4]
    assert CardPicture.objects.get(sha256=digest(late.file)).group.code == "T-66"


def test_a_tag_that_comes_last_still_begins_its_piece_while_nothing_was_changed(owner_client, one):
    taken = card(["T-65", "T-66"], each=2)
    for each in taken[1:]:
        put_on_card(each.file, one)
    sort_card(one)
    assert [group.code for group in groups(one)] == ["", "T-66"]
    put_on_card(taken[0].file, one)
    sort_card(one)
    assert [(g.code, g.pictures.count()) for g in groups(one)] == [("T-65", 3), ("T-66", 3)]
    first = groups(one)[0]
    press(owner_client, one, "save", **{f"what-{first.pk}": "Amber flask"})
    put_on_card(jpeg(7), one)
    sort_card(one)
    assert groups(one)[0].what == "Amber flask" and first in groups(one)


def test_a_find_with_that_tag_is_chosen_and_of_two_none(one):
    known = find(dive=one, field_tag="t66")
    find(dive=one, field_tag="T-67")
    find(dive=one, field_tag="T 67")
    filled(one)
    assert [(g.code, g.goes, g.find) for g in groups(one)] == [
        ("T-65", "new", None),
        ("T-66", "find", known),
        ("T-67", "new", None),
    ]


def test_pictures_before_the_first_tag_are_the_dives_own(one):
    boat = [upload(each.file.read(), "A.jpg") for each in card(["T-65"], each=1)][1:]
    taken = card(["T-66", "T-67"], each=1)
    for file in [*boat, *(each.file for each in taken)]:
        put_on_card(file, one)
    CardPicture.objects.filter(original_name="A.jpg").update(taken_at="2026-08-14T08:00:00Z")
    sort_card(one)
    assert [(g.goes, g.code) for g in groups(one)] == [("dive", ""), ("new", "T-66"), ("new", "T-67")]


def test_a_half_sorted_card_is_left_alone(one):
    filled(one, ["T-65"])
    assert set_aside.leftovers(after_s=-1) == []
    count = one.card_pictures.count()
    taken_off = one.card_pictures.all()[:1].get()
    taken_off.delete()
    (left,) = set_aside.leftovers(after_s=-1)
    assert files.digest_in_name(left) == taken_off.sha256
    assert one.card_pictures.count() == count - 1


def test_pictures_of_a_card_are_the_owners(client, owner_client, one):
    filled(one, ["T-65"], each=0)
    picture = one.card_pictures.get()
    shown = f"/photos/card/{picture.pk}/small.jpg"
    assert owner_client.get(shown)["Content-Type"] == "image/jpeg"
    assert "private" in owner_client.get(shown)["Cache-Control"]
    assert "/enter/" in client.get(shown)["Location"]
    assert owner_client.get(f"/photos/card/{picture.pk + 1}/small.jpg").status_code == 404
    assert owner_client.get(f"/photos/card/{picture.pk}/huge.jpg").status_code == 404


def test_a_visitor_and_a_dive_that_is_not(client, owner_client, one):
    for where in (address(one), arrive(one)):
        assert "/enter/" in client.get(where)["Location"]
        assert "/enter/" in client.post(where, {"act": "sort", "pictures": jpeg()})["Location"]
        assert owner_client.get(where.replace("/2024/", "/1999/")).status_code == 404
        assert owner_client.delete(where).status_code == 405
    one.put_in_bin()
    assert press(owner_client, one, "sort").status_code == 404
    assert not CardPicture.objects.exists()
