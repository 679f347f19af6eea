"""The bin: put in, put back, emptied on purpose."""

import pytest

from catalogue.photos.models import Photo, ShelfSession
from catalogue.specimens.models import SavedView, Specimen
from tests import factories

pytestmark = pytest.mark.django_db


def test_a_find_goes_in_and_comes_back_with_its_number(owner_client):
    find = factories.find()
    owner_client.post(f"/bin/find/{find.pk}/")
    assert not Specimen.objects.exists()
    assert find.number in owner_client.get("/bin/").content.decode()
    assert find.number not in owner_client.get("/finds/").content.decode()
    owner_client.post(f"/bin/find/{find.pk}/back/")
    assert Specimen.objects.get().number == find.number


def test_a_number_is_not_given_again_after_its_find_is_deleted_for_good(owner_client):
    find = factories.find()
    owner_client.post(f"/bin/find/{find.pk}/")
    owner_client.post(f"/bin/find/{find.pk}/empty/")
    assert not Specimen.everything.exists()
    assert factories.find().number_piece == find.number_piece + 1


def test_what_others_need_is_not_deleted(owner_client):
    dive = factories.dive()
    factories.find(dive=dive)
    for record in (Specimen.objects.get(), dive):
        record.put_in_bin()
    page = owner_client.post(f"/bin/dive/{dive.pk}/empty/", follow=True).content.decode()
    assert "still needed by" in page
    dive.refresh_from_db()
    assert dive.binned_at is not None


def test_nothing_is_deleted_that_is_not_in_the_bin(owner_client):
    place = factories.place()
    page = owner_client.post(f"/bin/place/{place.pk}/empty/", follow=True).content.decode()
    assert "Put it in the bin first" in page
    place.refresh_from_db()


def test_views_and_shelves_that_were_put_away_are_there_too(owner_client):
    view = SavedView.objects.create(name="Still wet", query="stage=wet")
    photo = Photo.objects.create(
        place=factories.place("Attic"),
        role="other",
        sha256="1" * 64,
        format="JPEG",
        bytes=1,
        width=9,
        height=9,
    )
    shelf = ShelfSession.objects.create(photo=photo, place=photo.place)
    for record in (view, shelf):
        record.put_in_bin()
    page = owner_client.get("/bin/").content.decode()
    assert "Saved views" in page and "Still wet" in page and "the picture of Attic" in page
    owner_client.post(f"/bin/view/{view.pk}/back/")
    owner_client.post(f"/bin/shelf/{shelf.pk}/empty/")
    assert SavedView.objects.get().query == "stage=wet"
    assert not ShelfSession.everything.exists() and Photo.objects.filter(pk=photo.pk).exists()


def test_what_another_has_the_name_of_does_not_come_back(owner_client):
    old = SavedView.objects.create(name="Still wet", query="stage=wet")
    old.put_in_bin()
    SavedView.objects.create(name="Still wet", query="stage=soaking")
    page = owner_client.post(f"/bin/view/{old.pk}/back/", follow=True).content.decode()
    assert "rename that one first" in page
    old.refresh_from_db()
    assert old.binned_at is not None


@pytest.mark.parametrize(
    "path", ["/bin/spoon/1/", "/bin/find/999/", "/bin/find/999/back/", "/bin/find/999/empty/"]
)
def test_what_is_not_there_is_not_found(owner_client, path):
    assert owner_client.post(path).status_code == 404


def test_nothing_happens_by_a_link(owner_client):
    find = factories.find()
    for path in ("", "back/", "empty/"):
        assert owner_client.get(f"/bin/find/{find.pk}/{path}").status_code == 405


def test_it_leads_back_only_within_the_house(owner_client):
    place = factories.place()
    answer = owner_client.post(f"/bin/place/{place.pk}/", {"next": "//elsewhere.example/"})
    assert answer["Location"] == "/bin/"


def test_a_visitor_throws_nothing(client):
    find = factories.find()
    client.post(f"/bin/find/{find.pk}/")
    assert Specimen.objects.exists()
