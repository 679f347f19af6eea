"""Before and after laid on each other by marks: saved, refused, taken back, shown to whom it may be."""

from io import BytesIO

import pytest
from PIL import Image

from catalogue.photos.models import LaidPair, Photo
from catalogue.photos.services import take_in
from tests import factories
from tests.pages.pictures import picture

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]

BEFORE = {"b1": "50, 10", "b2": "30, 60", "b3": "70, 90"}
AFTER = {"a1": "52, 12", "a2": "32, 62", "a3": "72, 92"}


@pytest.fixture
def find():
    find = factories.find("Amber beer bottle", shared=True)
    take_in(picture("found.jpg", (90, 90, 80)), subject=find, role=Photo.Role.AS_FOUND)
    take_in(picture("after.jpg", (200, 120, 40)), subject=find, role=Photo.Role.AFTER)
    return find


def address(find) -> str:
    return f"/finds/{find.number}/lay/"


def test_marks_lay_the_pair_and_the_find_shows_the_slider(owner_client, find):
    assert "data-pair" not in owner_client.get(find.get_absolute_url()).content.decode()
    answer = owner_client.post(address(find), BEFORE | AFTER | {"act": "save"})
    assert answer.status_code == 302
    pair = LaidPair.objects.get()
    assert pair.marks == [[50, 10, 52, 12], [30, 60, 32, 62], [70, 90, 72, 92]]
    assert (pair.before.role, pair.after.role) == ("as-found", "after")
    page = owner_client.get(answer.url).content.decode()
    assert "The marks agree within 1 px." in page
    shown = owner_client.get(find.get_absolute_url()).content.decode()
    assert 'type="range"' in shown and "common/photos/laid" in shown


def test_undo_sets_them_side_by_side_and_keeps_the_marks(owner_client, find):
    owner_client.post(address(find), BEFORE | AFTER | {"act": "save"})
    answer = owner_client.post(address(find), {"act": "undo"}, follow=True)
    assert "side by side again" in answer.content.decode()
    assert "data-pair" not in owner_client.get(find.get_absolute_url()).content.decode()
    assert 'value="50.00, 10.00"' in answer.content.decode()
    owner_client.post(address(find), BEFORE | AFTER | {"act": "save"})
    assert LaidPair.objects.get().shown


@pytest.mark.parametrize(
    ("said", "field", "why"),
    [
        ({"b3": "", "a3": ""}, "b3", "at least three marks"),
        ({"a3": ""}, "a3", "in the other picture too"),
        ({"a4": "10, 10"}, "b4", "in the other picture too"),
        ({"b3": "10, 110"}, "b3", "Give two numbers"),
        ({"a1": "10, 10", "a2": "20, 20", "a3": "30, 30"}, "a3", "lie on one line"),
    ],
)
def test_what_can_not_be_laid_is_said_by_its_field(owner_client, find, said, field, why):
    answer = owner_client.post(address(find), BEFORE | AFTER | said | {"act": "save"})
    assert answer.status_code == 422
    assert why in " ".join(answer.context["form"].errors[field])
    assert not LaidPair.objects.exists()


def test_marks_that_fit_badly_are_kept_and_said(owner_client, find):
    owner_client.post(address(find), BEFORE | AFTER | {"a1": "90, 40", "act": "save"})
    assert "check that each is the same spot" in owner_client.get(address(find)).content.decode()


def test_a_visitor_sees_it_only_where_both_pictures_are_shown(owner_client, client, find):
    owner_client.post(address(find), BEFORE | AFTER | {"act": "save"})
    laid = f"{address(find)}before.jpg"
    answer = client.get(laid)
    assert answer.status_code == 200 and answer["Content-Type"] == "image/jpeg"
    with Image.open(BytesIO(answer.content)) as image:
        after = Photo.objects.get(role="after")
        assert image.size == (after.width, after.height)
    assert "data-pair" in client.get(find.get_absolute_url()).content.decode()
    Photo.objects.get(role="as-found").put_in_bin()
    assert client.get(laid).status_code == 404
    assert "data-pair" not in client.get(find.get_absolute_url()).content.decode()
    assert client.get(address(find)).status_code == 302
    assert client.post(address(find), BEFORE | AFTER).status_code == 302


def test_a_find_that_is_not_shared_shows_no_laid_picture(owner_client, client, find):
    owner_client.post(address(find), BEFORE | AFTER | {"act": "save"})
    find.shared = False
    find.save()
    assert client.get(f"{address(find)}before.jpg").status_code == 404


def test_a_find_without_the_two_pictures_says_which_are_needed(owner_client):
    lone = factories.find("Jar")
    page = owner_client.get(f"/finds/{lone.number}/lay/")
    assert page.status_code == 200 and "Two pictures are needed" in page.content.decode()
    assert owner_client.get(f"/finds/{lone.number}/lay/before.jpg").status_code == 404
