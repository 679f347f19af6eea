"""Pictures moved between the proposed groups, tags typed, roles set; all of it kept, none of it filed."""

import pytest

from catalogue.photos.models import CardGroup, Photo
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from tests.conftest import laid_out
from tests.factories import dive, find

from .card_parts import address, filled, groups, pictures, press, told


def sorted_card() -> Dive:
    made = dive()
    filled(made)
    return made


@pytest.fixture(scope="module")
def made(module_pictures):
    return module_pictures(sorted_card)


@pytest.fixture
def one(made, data_folder, db) -> Dive:
    return laid_out(made, data_folder)


@pytest.fixture(autouse=True)
def files_of_this_test(data_folder) -> None:
    """No picture of one test is seen by another."""


def test_the_page(owner_client, one, django_assert_num_queries):
    with django_assert_num_queries(6):  # session, owner, dive, groups, pictures, finds of the dive
        page = owner_client.get(address(one)).content.decode()
    assert page.count("<h1") == 1 and "style=" not in page and "<script>" not in page
    assert page.count('name="tick"') == 9 and page.count("its tag was read") == 3
    assert "<b>3</b> new finds, <b>9</b> pictures." in page
    assert len(page.encode()) < 60_000


def test_queries_do_not_grow_with_the_card(owner_client, db, django_assert_num_queries):
    larger = dive()
    filled(larger, [f"T-{n}" for n in range(1, 9)], each=1)
    with django_assert_num_queries(6):
        owner_client.get(address(larger))


def test_pictures_are_moved_to_another_group(owner_client, one):
    first, second = groups(one)[:2]
    moved = pictures(one, 0)[1:]
    answer = press(owner_client, one, "move", tick=[p.pk for p in moved], to=second.pk)
    assert told(answer) == ["2 pictures moved."]
    assert set(second.pictures.all()) >= set(moved) and first.pictures.count() == 1
    press(owner_client, one, "move", tick=[pictures(one, 0)[0].pk], to=second.pk)
    assert len(groups(one)) == 2  # an empty group goes


@pytest.mark.parametrize("to", ["new", "dive", "later"])
def test_pictures_are_moved_to_a_group_of_their_own(owner_client, one, to):
    picture = pictures(one, 1)[2]
    press(owner_client, one, "move", tick=[picture.pk], to=to)
    picture.refresh_from_db()
    assert (picture.group.goes, picture.group.place, len(groups(one))) == (to, 3, 4)


def test_a_typed_tag_begins_a_piece_with_what_follows(owner_client, one):
    known = find(dive=one, field_tag="T-90")
    start = pictures(one, 1)[1]
    answer = press(owner_client, one, "begin", tick=[start.pk], **{"begin-tag": "t 90"})
    assert told(answer) == ["t 90 begins there."]
    group = groups(one)[2]
    assert (group.code, group.goes, group.find) == ("t 90", "find", known)
    assert pictures(one, 2)[0] == start and len(pictures(one, 2)) == 2 and len(pictures(one, 1)) == 1
    assert pictures(one, 2)[0].role == "tag"


def test_groups_are_joined(owner_client, one):
    second = groups(one)[1]
    press(owner_client, one, f"join-{second.pk}")
    assert [group.code for group in groups(one)] == ["T-65", "T-67"]
    assert len(pictures(one, 0)) == 6
    press(owner_client, one, f"join-{groups(one)[0].pk}")  # there is none before the first
    assert len(groups(one)) == 2


def test_roles_and_taking_off(owner_client, one):
    keys = [picture.pk for picture in pictures(one, 0)[1:]]
    press(owner_client, one, "role", tick=keys, role="base")
    assert [picture.role for picture in pictures(one, 0)] == ["tag", "base", "base"]
    press(owner_client, one, "drop", tick=keys)
    assert one.card_pictures.count() == 7


def test_what_is_typed_is_kept_with_every_button(owner_client, one):
    first, second, third = groups(one)
    sent = {
        f"tag-{first.pk}": " T-165 ",
        f"what-{first.pk}": "Aqua  torpedo \U0001f9ea",
        f"goes-{second.pk}": "later",
        f"goes-{third.pk}": "dive",
    }
    press(owner_client, one, "save", **sent)
    first, second, third = groups(one)
    assert (first.code, first.what, first.goes) == ("T-165", "Aqua torpedo \U0001f9ea", "new")
    assert (second.goes, third.goes) == ("later", "dive")
    assert "2 left" not in owner_client.get(address(one)).content.decode()
    assert "3 left on the card" in owner_client.get(address(one)).content.decode()


def test_a_tag_typed_that_a_find_carries_chooses_that_find(owner_client, one):
    known = find(dive=one, field_tag="T-90")
    first = groups(one)[0]
    answer = press(owner_client, one, "save", **{f"tag-{first.pk}": "T90", f"goes-{first.pk}": "new"})
    assert told(answer) == [f"T90 is the tag of {known.number}: its pictures go there."]
    assert groups(one)[0].find == known
    press(owner_client, one, "save", **{f"tag-{first.pk}": "T90", f"goes-{first.pk}": "new"})
    assert groups(one)[0].find is None  # chosen otherwise afterwards, that holds


def test_proposed_anew(owner_client, one):
    press(owner_client, one, "move", tick=[pictures(one, 0)[1].pk], to=groups(one)[2].pk)
    press(owner_client, one, "again")
    assert [len(pictures(one, n)) for n in range(3)] == [3, 3, 3]


WRONG = [
    {"act": "move", "to": "new"},
    {"act": "move", "tick": "x", "to": "new"},
    {"act": "move", "tick": "1", "to": "999999"},
    {"act": "move", "tick": "1", "to": ""},
    {"act": "begin"},
    {"act": "begin", "tick": ["1", "2"]},
    {"act": "begin", "tick": "999999"},
    {"act": "role", "tick": "1", "role": "portrait"},
    {"act": "role", "tick": "999999", "role": "base"},
    {"act": "drop"},
    {"act": "drop", "tick": "9" * 30},
    {"act": "join-999999"},
    {"act": "join-x"},
    {"act": "explode"},
    {},
]


@pytest.mark.parametrize("sent", WRONG)
def test_a_button_pressed_wrongly_is_answered_in_words_and_changes_nothing(owner_client, one, sent):
    was = list(one.card_pictures.order_by("pk").values_list("pk", "group", "role"))
    answer = owner_client.post(address(one), sent)
    assert answer.status_code == 422 and 'role="alert"' in answer.content.decode()
    assert list(one.card_pictures.order_by("pk").values_list("pk", "group", "role")) == was
    assert owner_client.post(address(one), sent, headers={"hx-request": "true"}).status_code == 200


BAD_GOES = ["find-", "find-x", "find-999999", "find-²", "portrait", "", "find--1", "news"]


@pytest.mark.parametrize("goes", BAD_GOES)
def test_a_destination_that_is_none_is_passed_over(owner_client, one, goes):
    first = groups(one)[0]
    press(owner_client, one, "save", **{f"goes-{first.pk}": goes, f"tag-{first.pk}": "T-1" + "9" * 90})
    first.refresh_from_db()
    assert first.goes in (CardGroup.Goes.NEW,) and len(first.code) == 40


def test_pictures_of_another_dives_card_are_out_of_reach(owner_client, one):
    other = dive()
    filled(other, ["T-80"])
    foreign = pictures(other, 0)[0]
    for act in ("move", "drop", "begin"):
        assert press(owner_client, one, act, tick=[foreign.pk], to="new").status_code == 422
    press(owner_client, one, "move", tick=[pictures(one, 0)[0].pk], to=groups(other)[0].pk)
    assert other.card_pictures.count() == 3 and groups(other)[0].pictures.count() == 3


def test_nothing_is_filed_by_any_of_it(owner_client, one):
    for act in ("sort", "again", "save"):
        press(owner_client, one, act)
    assert not Photo.objects.exists() and not Specimen.objects.exists()
    assert "(9 waiting)" in owner_client.get(one.get_absolute_url()).content.decode()


def test_markup_in_a_name_is_shown_as_text(owner_client, one):
    first = groups(one)[0]
    press(owner_client, one, "save", **{f"what-{first.pk}": "<script>alert(1)</script>"})
    page = owner_client.get(address(one)).content.decode()
    assert "<script>alert" not in page and "&lt;script&gt;alert" in page
