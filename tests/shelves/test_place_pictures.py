"""Pictures of a place: added, seen, put in the bin and back."""

import pytest

from catalogue.photos.models import Photo
from tests import factories
from tests.photos.drawn import jpeg

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def test_pictures_are_added_on_the_page_of_the_place_and_binned_and_restored(owner_client):
    place = factories.place()
    address = f"/shelves/{place.pk}/"
    assert "data-camera" in owner_client.get(address).content.decode()
    sent = {"pictures": jpeg(width=600, height=400), "next": address}
    page = owner_client.post(f"/photos/add/?place={place.pk}", sent, follow=True).content.decode()
    photo = Photo.objects.get(place=place)
    assert f"/photos/{photo.pk}/medium.jpg" in page and f'id="picture-{photo.pk}"' in page
    arranging = owner_client.get(f"{address}?arrange=1").content.decode()
    assert f"/photos/{photo.pk}/bin/" in arranging
    page = owner_client.post(f"/photos/{photo.pk}/bin/", {"next": address}, follow=True).content.decode()
    assert f'id="picture-{photo.pk}"' not in page and f"/photos/{photo.pk}/put-back/" in page
    page = owner_client.post(f"/photos/{photo.pk}/put-back/", follow=True).content.decode()
    assert f'id="picture-{photo.pk}"' in page


def test_a_visitor_sees_none_of_them(client, owner_client):
    place = factories.place()
    owner_client.post(f"/photos/add/?place={place.pk}", {"pictures": jpeg(width=600, height=400)})
    photo = Photo.objects.get(place=place)
    assert client.get(f"/photos/{photo.pk}/small.jpg").status_code == 404
