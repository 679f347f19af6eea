"""The bin: put in, put back, emptied on purpose."""

import pytest

from catalogue.specimens.models import Specimen
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
    owner_client.post(f"/bin/dive/{dive.pk}/")
    page = owner_client.post(f"/bin/dive/{dive.pk}/empty/", follow=True).content.decode()
    assert "still needed by" in page
    dive.refresh_from_db()
    assert dive.binned_at is not None


def test_nothing_is_deleted_that_is_not_in_the_bin(owner_client):
    place = factories.place()
    page = owner_client.post(f"/bin/place/{place.pk}/empty/", follow=True).content.decode()
    assert "Put it in the bin first" in page
    place.refresh_from_db()


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
