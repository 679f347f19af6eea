"""Two windows on one card (optimistic lock): the first one stays, the second is told and keeps its words."""

import pytest

from catalogue.specimens.models import Specimen
from tests.conftest import laid_out
from tests.factories import dive, find
from tests.posted import forms_in

from .card_parts import address, filled, groups
from .test_card_sorting import sorted_card


@pytest.fixture(scope="module")
def made(module_pictures):
    return module_pictures(sorted_card)


@pytest.fixture
def one(made, data_folder, db):
    return laid_out(made, data_folder)


def window(client, one, act="save", **typed):
    """What a window that is open on the card would send, its boxes filled in as typed."""
    page = client.get(address(one)).content.decode()
    values = next(v for said, v in forms_in(page) if said.get("id") == "card")
    return values | {"act": act} | typed


@pytest.mark.parametrize("box", ["tag", "what"])
def test_one_box_typed_in_by_two_windows(owner_client, one, box):
    group = groups(one)[0]
    name = f"{box}-{group.pk}"
    first, second = window(owner_client, one, **{name: "T-1"}), window(owner_client, one, **{name: "T-2"})
    assert owner_client.post(address(one), first).status_code == 302
    told = owner_client.post(address(one), second)
    page = told.content.decode()
    assert told.status_code == 422
    assert "Another page wrote “T-1” meanwhile. Yours was “T-2”." in page
    column = {"tag": "code", "what": "what"}[box]
    assert getattr(groups(one)[0], column) == "T-1"
    # Told once, it can be typed over what stands there.
    again = window(owner_client, one, **{name: "T-2"})
    assert owner_client.post(address(one), again).status_code == 302
    assert getattr(groups(one)[0], column) == "T-2"


def test_two_boxes_typed_in_by_two_windows_are_both_kept(owner_client, one):
    group, other = groups(one)[:2]
    first = window(owner_client, one, **{f"tag-{group.pk}": "T-1"})
    second = window(owner_client, one, **{f"what-{group.pk}": "Ink bottle", f"tag-{other.pk}": "T-2"})
    for sent in (first, second):
        assert owner_client.post(address(one), sent).status_code == 302
    assert [(g.code, g.what) for g in groups(one)[:2]] == [("T-1", "Ink bottle"), ("T-2", "")]


def test_a_destination_chosen_by_two_windows(owner_client, one):
    known = find(dive=one)
    name = f"goes-{groups(one)[0].pk}"
    first = window(owner_client, one, **{name: f"find-{known.pk}"})
    second = window(owner_client, one, **{name: "later"})
    owner_client.post(address(one), first)
    page = owner_client.post(address(one), second).content.decode()
    assert f"Another page wrote “{known.number}” meanwhile. Yours was “left on the card”." in page
    assert groups(one)[0].find == known


def test_nothing_is_filed_where_two_windows_typed_into_one_box(owner_client, one):
    name = f"tag-{groups(one)[0].pk}"
    first, second = (
        window(owner_client, one, **{name: "T-1"}),
        window(owner_client, one, "file", **{name: "T-2"}),
    )
    owner_client.post(address(one), first)
    assert owner_client.post(address(one), second).status_code == 422
    assert not Specimen.objects.exists() and groups(one)[0].code == "T-1"


def test_the_rest_is_kept_and_the_ticks_stay(owner_client, one):
    group, other = groups(one)[:2]
    tick = group.pictures.first().pk
    name = f"tag-{group.pk}"
    first = window(owner_client, one, **{name: "T-1"})
    second = window(owner_client, one, "move", **{name: "T-2", f"what-{other.pk}": "Jar"})
    second |= {"tick": [tick], "to": str(other.pk)}
    owner_client.post(address(one), first)
    page = owner_client.post(address(one), second).content.decode()
    assert groups(one)[1].what == "Jar" and group.pictures.filter(pk=tick).exists()
    assert f'name="tick" value="{tick}" checked' in page


def test_words_beside_a_group_that_another_window_took_away(owner_client, one):
    group, other = groups(one)[:2]
    second = window(owner_client, one, **{f"what-{other.pk}": "Blue ink"})
    owner_client.post(address(one), window(owner_client, one, f"join-{other.pk}"))
    answer = owner_client.post(address(one), second)
    assert answer.status_code == 422 and "“Blue ink”" in answer.content.decode()
    assert len(groups(one)) == 2 and group.pk == groups(one)[0].pk


def test_proposing_anew_asks_again_where_another_window_typed(owner_client, one):
    group = groups(one)[0]
    second = window(owner_client, one, "again")
    owner_client.post(address(one), window(owner_client, one, **{f"what-{group.pk}": "Blue ink"}))
    answer = owner_client.post(address(one), second)
    page = answer.content.decode()
    assert answer.status_code == 422 and "Nothing was proposed anew" in page
    assert groups(one)[0].what == "Blue ink"
    assert owner_client.post(address(one), window(owner_client, one, "again")).status_code == 302
    assert groups(one)[0].what == ""


def test_what_a_page_keeps_by_itself(owner_client, one):
    name = f"what-{groups(one)[0].pk}"
    first, second = window(owner_client, one, **{name: "Ink"}), window(owner_client, one, **{name: "Jar"})
    keep = {"HTTP_X_KEEP": "yes"}
    assert owner_client.post(address(one), first, **keep).status_code == 204
    assert owner_client.post(address(one), second, **keep).status_code == 409
    assert groups(one)[0].what == "Ink"


def test_a_page_that_says_not_what_it_showed_is_kept_as_before(owner_client, db):
    made = dive()
    filled(made, ["T-1"], each=1)
    name = f"what-{groups(made)[0].pk}"
    for word in ("Ink", "Jar"):
        owner_client.post(address(made), {"act": "save", name: word})
    assert groups(made)[0].what == "Jar"
