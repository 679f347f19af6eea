"""A script that sends a form hears where it leads, and the messages wait for whoever goes there."""

import pytest

from catalogue.people.models import Person

pytestmark = pytest.mark.django_db
STAY = {"x-stay": "yes"}


def test_a_form_sent_by_script_is_told_its_address(owner_client):
    answer = owner_client.post("/people/new/", {"name": "Ida Brandt", "once": "k"}, headers=STAY)
    assert (answer.status_code, answer.headers["X-Leads-To"]) == (204, "/people/")
    assert "Location" not in answer.headers and answer.content == b""
    assert Person.objects.count() == 1
    assert "Ida Brandt is in the book" in owner_client.get("/people/").content.decode()


def test_a_browser_that_was_signed_out_is_told_so(client, db):
    answer = client.post("/people/new/", {"name": "Ida Brandt"}, headers=STAY)
    assert answer.headers["X-Leads-To"].startswith("/enter/?next=")


def test_other_answers_are_left_alone(owner_client):
    wrong = owner_client.post("/people/new/", {"name": ""}, headers=STAY)
    assert wrong.status_code == 422 and "X-Leads-To" not in wrong.headers
    plain = owner_client.post("/people/new/", {"name": "Ida Brandt"})
    assert plain.status_code == 302


def test_how_a_browser_stands(owner_client, client):
    owner_client.post("/people/new/", {"name": "Ida Brandt", "once": "k"})
    said = owner_client.get("/enter/standing/?once=k").json()
    assert (said["in"], said["kept"]) == (True, "/people/") and len(said["token"]) > 30
    assert owner_client.get("/enter/standing/?once=other").json()["kept"] == ""
    client.logout()
    stranger = client.get("/enter/standing/?once=k").json()
    assert (stranger["in"], stranger["kept"]) == (False, ""), "nothing is told to strangers"
    assert owner_client.post("/enter/standing/").status_code == 405
