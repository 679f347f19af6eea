"""What a wet hand is asked first: the dive that is likely, and what to take care with."""

from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.care.acts import Act
from catalogue.care.models import Check
from catalogue.care.piece_facts import knowledge_of
from catalogue.care.services import note_look
from catalogue.sites.models import Dive, Site
from catalogue.sites.services import log_dive
from catalogue.specimens.models import Specimen

from .record_form import filled

pytestmark = pytest.mark.django_db


def dive_of(days_ago: int) -> Dive:
    site, _ = Site.objects.get_or_create(name="Tallow Cove", slug="tallow-cove")
    return log_dive(Dive(site=site, date=timezone.localdate() - timedelta(days=days_ago)))


def begins_with(owner_client) -> str:
    return owner_client.get("/finds/new/").context["dive"]["pick"].value()


@pytest.mark.parametrize(("days_ago", "likely"), [(0, True), (1, True), (31, True), (32, False)])
def test_form_begins_with_the_last_dive_of_a_month(owner_client, days_ago, likely):
    dive_of(200)
    last = dive_of(days_ago)
    assert begins_with(owner_client) == (str(last.pk) if likely else "unknown")


def test_while_a_shelf_is_taken_in_no_earlier_dive_is_offered(owner_client):
    last = dive_of(3)
    owner_client.post("/finds/new/", filled(pick="unknown"))
    assert begins_with(owner_client) == "unknown"
    # A dive of today is nearer than the shelf.
    today = dive_of(0)
    assert begins_with(owner_client) == str(today.pk)
    Specimen.objects.update(created=timezone.now() - timedelta(days=2))
    Dive.objects.filter(pk=today.pk).delete()
    assert begins_with(owner_client) == str(last.pk)


def test_every_dive_is_in_one_list(owner_client):
    dives = [dive_of(days) for days in (400, 300, 200, 100, 50, 0)]
    listed = owner_client.get("/finds/new/").context["dive"].fields["pick"].choices
    assert [value for value, _ in listed[:-1]] == [*(str(d.pk) for d in dives[:1:-1]), "new", "unknown"]
    assert [value for value, _ in listed[-1][1]] == [str(dives[1].pk), str(dives[0].pk)]
    assert listed[0][1].startswith("today, Tallow Cove")
    answer = owner_client.post("/finds/new/", filled(pick=str(dives[0].pk)))
    assert answer.status_code == 302
    assert Specimen.objects.get().dive == dives[0]


def test_what_was_noticed_stands_under_its_name_and_closes_acts(owner_client):
    answer = owner_client.post("/finds/new/", filled(noticed=["sealed", "living"]))
    find = Specimen.objects.get()
    page = owner_client.get(answer["Location"]).content.decode()
    assert "Sealed" in page
    known = knowledge_of([find])[find.pk]
    assert {"sealed", "living"} <= known.facts.flags
    assert known.leave_alone
    assert known.may(Act.TOOLS).refused
    assert find.care_flags == "|living|sealed|"


def test_what_was_noticed_in_passing_is_no_look_before_acid(owner_client):
    owner_client.post("/finds/new/", filled(noticed=["crack"]))
    find = Specimen.objects.get()
    known = knowledge_of([find])[find.pk]
    assert "crack" in known.facts.flags
    assert not known.facts.looked
    # The look for everything answers what was noticed before it, and what is noticed later counts on top.
    note_look(find, [])
    assert not knowledge_of([find])[find.pk].facts.flags
    note_look(find, ["metal"], in_passing=True)
    known = knowledge_of([find])[find.pk]
    assert known.facts.flags == {"metal"} and known.facts.looked


def test_a_sealed_piece_is_not_cleared_by_a_look_in_passing(owner_client):
    owner_client.post("/finds/new/", filled(noticed=["sealed"]))
    find = Specimen.objects.get()
    note_look(find, ["crack"], in_passing=True)
    assert knowledge_of([find])[find.pk].facts.flags == {"sealed", "crack"}


def test_nothing_ticked_writes_no_look(owner_client):
    owner_client.post("/finds/new/", filled())
    assert not Check.objects.exists()


def test_a_hazard_nobody_knows_is_refused_and_nothing_is_kept(owner_client):
    answer = owner_client.post("/finds/new/", filled(noticed=["glows"]))
    assert answer.status_code == 422
    assert not Specimen.objects.exists()


def test_hazards_of_a_find_on_record_are_asked_at_the_bench(owner_client):
    owner_client.post("/finds/new/", filled(noticed=["sealed"]))
    find = Specimen.objects.get()
    page = owner_client.get(f"/finds/{find.number}/edit/").content.decode()
    assert 'name="noticed"' not in page
    assert "sealed" in page
    owner_client.post(f"/finds/{find.number}/edit/", filled(what="jar", noticed=["crack"]))
    assert [check.found for check in Check.objects.all()] == [["sealed"]]
