"""Editing a find by the same form: only what was changed is saved, and nobody is overwritten unawares."""

import pytest
from django.contrib.auth import get_user_model
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalogue.sites.models import Dive, Site
from catalogue.sites.services import log_dive
from catalogue.specimens.models import MarkReading, Move, ObservedFeature, Specimen
from catalogue.specimens.services import Parts, keep_find

from .record_form import SETS, filled, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def find():
    """A find with a mark, a feature with a note, and a note."""
    parts = Parts(
        readings=[MarkReading(letters="LG", right="69")],
        features=[ObservedFeature(feature="crown-finish", note="chipped")],
    )
    return keep_find(Specimen(what="aqua soda bottle", notes="as it came up", colour="aqua"), parts)


def as_shown(page, **changed):
    """What a browser would send back of a page, with some fields typed over."""
    sheet = page.context["sheet"]
    data = {"opened": page.context["opened"], "seen": page.context["seen"], "once": "x", "made-asked": "1"}
    forms = [sheet.find_form, sheet.dive_form, sheet.features]
    for name in SETS:
        rows = sheet.sets[name]
        data |= {
            f"{name}-TOTAL_FORMS": str(len(rows.forms)),
            f"{name}-INITIAL_FORMS": str(rows.initial_form_count()),
        }
        forms += rows.forms
    for form in forms:
        for bound in form:
            value = bound.value()
            if value is True or value not in (None, "", False, []):
                data[bound.html_name] = "on" if value is True else value
            elif value in (None, ""):
                data[bound.html_name] = ""
    return {**data, **changed}


def post(client, find, **changed):
    page = client.get(f"/finds/{find.number}/edit/")
    return client.post(f"/finds/{find.number}/edit/", as_shown(page, **changed))


def test_page_shows_what_is_on_record(owner_client, find):
    page = owner_client.get(f"/finds/{find.number}/edit/")
    assert page.status_code == 200
    assert page.context["answer"].words == find.made_words == "1969"
    assert b'value="LG"' in page.content
    assert b'value="crown-finish" checked' in page.content


def test_sent_back_unchanged_changes_nothing(owner_client, find):
    rows = {
        name: sorted(getattr(find, name).values_list("pk", flat=True))
        for name in ("readings", "features", "inscriptions", "known_years")
    }
    before = Specimen.objects.filter(pk=find.pk).values().get()
    assert post(owner_client, find).status_code == 302
    after = Specimen.objects.filter(pk=find.pk).values().get()
    assert {**after, "changed": None} == {**before, "changed": None}
    for name, keys in rows.items():
        assert sorted(getattr(find, name).values_list("pk", flat=True)) == keys
    assert find.features.get().note == "chipped"


def test_only_what_changed_is_written(owner_client, find):
    page = owner_client.get(f"/finds/{find.number}/edit/")
    data = as_shown(page, look="growth")
    with CaptureQueriesContext(connection) as caught:
        assert owner_client.post(f"/finds/{find.number}/edit/", data).status_code == 302
    writes = [q["sql"] for q in caught if q["sql"].startswith('UPDATE "specimens_specimen"')]
    assert [sql for sql in writes if '"look"' in sql]
    assert not [sql for sql in writes if '"notes"' in sql or '"what"' in sql or '"stage"' in sql]


def test_number_stays_when_the_dive_changes(owner_client, find):
    site = Site.objects.create(name="Heron Ledge", slug="heron-ledge")
    dive = log_dive(Dive(site=site, date=timezone.localdate()))
    number = find.number
    assert post(owner_client, find, pick=str(dive.pk)).status_code == 302
    find.refresh_from_db()
    assert (find.dive, find.number) == (dive, number)


def test_new_place_is_a_move(owner_client, find):
    assert post(owner_client, find, new_place="Hall case").status_code == 302
    find.refresh_from_db()
    assert find.place.name == "Hall case"
    assert Move.objects.get(find=find).to_place == find.place


def test_reading_is_taken_out(owner_client, find):
    assert post(owner_client, find, **{"readings-0-DELETE": "on"}).status_code == 302
    find.refresh_from_db()
    assert not find.readings.exists()
    assert find.made_from != 1969


def test_changed_meanwhile_says_who_and_keeps_what_was_typed(owner_client, find, owner):
    page = owner_client.get(f"/finds/{find.number}/edit/")
    data = as_shown(page, notes="mine")
    other = get_user_model().objects.create(username="second-phone")
    find._history_user = other
    find.notes, find.colour = "theirs", "green"
    find.save()
    answer = owner_client.post(f"/finds/{find.number}/edit/", data)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "was changed while you had it open" in text
    assert "second-phone" in text
    assert "colour" in text
    assert ">\nmine</textarea>" in text
    find.refresh_from_db()
    assert find.notes == "theirs"
    again = {**data, "opened": answer.context["opened"], "seen": answer.context["seen"]}
    assert owner_client.post(f"/finds/{find.number}/edit/", again).status_code == 302
    find.refresh_from_db()
    # What only the other person touched stays theirs.
    assert (find.notes, find.colour) == ("mine", "green")


@pytest.mark.parametrize("stamp", ["", "0", "999999999999999999999999", "-1", "١", "x", "1' or 1"])
def test_stamp_that_cannot_be_read_does_no_harm(owner_client, find, stamp):
    answer = post(owner_client, find, notes="typed", opened=stamp, seen=stamp)
    assert answer.status_code == 302
    find.refresh_from_db()
    assert find.notes == "typed"


def test_two_answers_to_one_question_both_stay(owner_client, find):
    keep_find(
        find,
        Parts(features=[ObservedFeature(feature=f) for f in ("crown-finish", "crown-finish-tooled")]),
        fields=[],
    )
    assert post(owner_client, find, notes="typed").status_code == 302
    assert {f.feature for f in find.features.all()} == {"crown-finish", "crown-finish-tooled"}


def test_part_that_was_not_sent_stays(owner_client, find):
    answer = owner_client.post(f"/finds/{find.number}/edit/", {"what": "squat soda bottle"})
    assert answer.status_code == 302
    find.refresh_from_db()
    assert (find.what, find.notes, find.colour) == ("squat soda bottle", "as it came up", "aqua")
    assert (find.readings.count(), find.features.count()) == (1, 1)


def test_find_that_is_not_there(owner_client):
    assert owner_client.get("/finds/2020.1.1/edit/").status_code == 404
    assert owner_client.post("/finds/2020.1.1/edit/", filled(readings=[reading()])).status_code == 404
    assert owner_client.get("/finds/new/?like=2020.1.1").status_code == 404


def test_visitor_may_not(client, find):
    assert client.get(f"/finds/{find.number}/edit/").status_code == 302
    client.post(f"/finds/{find.number}/edit/", {"what": "taken over"})
    find.refresh_from_db()
    assert find.what == "aqua soda bottle"
