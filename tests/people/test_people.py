"""The address book, and what is left after somebody is erased."""

import pytest
from django.apps import apps

from catalogue.people.models import Person
from catalogue.people.services import person_named
from tests import factories

pytestmark = pytest.mark.django_db


def test_somebody_is_added_and_changed(owner_client):
    owner_client.post("/people/new/", {"name": "Ansel Quick", "reach": "boat shed"})
    person = Person.objects.get()
    owner_client.post(f"/people/{person.pk}/", {"name": "Ansel Quickly", "reach": "boat shed"})
    person.refresh_from_db()
    assert person.name == "Ansel Quickly"
    assert "Ansel Quickly" in owner_client.get("/people/").content.decode()


@pytest.mark.parametrize("name", ["", "x" * 201])
def test_a_name_that_cannot_be_is_refused(owner_client, name):
    answer = owner_client.post("/people/new/", {"name": name})
    assert answer.status_code == 422 and "id_name_error" in answer.content.decode()
    assert not Person.objects.exists()


def test_erasing_blanks_the_row_and_others_keep_their_key(owner_client):
    person = factories.person()
    dive = factories.dive()
    dive.buddies.add(person)
    owner_client.post(f"/people/{person.pk}/erase/")
    person.refresh_from_db()
    assert "Ansel" not in person.name and not person.reach and not person.notes
    assert list(dive.buddies.all()) == [person]
    assert "Ansel" not in owner_client.get("/people/").content.decode()
    assert owner_client.get(f"/people/{person.pk}/").status_code == 404


def test_no_history_is_kept_of_people():
    assert not [model for model in apps.get_models() if "historicalperson" in model.__name__.lower()]


def test_a_name_typed_again_is_the_same_person():
    assert person_named("Ansel  Quick") == person_named("ansel quick")


def test_erasing_asks_for_a_post(owner_client):
    assert owner_client.get(f"/people/{factories.person().pk}/erase/").status_code == 405
