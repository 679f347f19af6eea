"""How far along a new find begins: wet from a dive, done without one, asked where that is unclear."""

import pytest
from django.utils import timezone

from catalogue.sites.models import Dive, Site
from catalogue.sites.services import log_dive
from catalogue.specimens.first_stage import first_stage
from catalogue.specimens.models import Specimen

from .record_form import filled

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("from_dive", "recovered", "begins"),
    [
        (True, "", "wet"),
        (False, "", "done"),
        (False, "199X", "done"),
        (False, "2024", "done"),
        (False, "1990/2024", "done"),
        # this year and the last: it may well be wet
        (False, "2025", None),
        (False, "2026", None),
        (False, "2026~", None),
        (False, "2020/2026", None),
        (False, "202X", None),
        (False, "2019/..", None),
    ],
)
def test_rule(from_dive, recovered, begins):
    assert first_stage(from_dive=from_dive, recovered=recovered, this_year=2026) == begins


def sent(owner_client, **fields):
    """A new find whose stage was left as the form begins."""
    return owner_client.post("/finds/new/", filled(**fields) | {"stage": fields.get("stage", "")})


def test_without_a_dive_it_begins_as_done_and_that_is_said(owner_client):
    answer = sent(owner_client, recovered="the 1990s")
    assert Specimen.objects.get().stage == "done"
    page = owner_client.get(answer["Location"]).content.decode()
    assert "It begins as done, as it has no dive" in page


def test_from_a_dive_it_begins_wet(owner_client):
    site = Site.objects.create(name="Tallow Cove", slug="tallow-cove")
    dive = log_dive(Dive(site=site, date=timezone.localdate()))
    answer = sent(owner_client, pick=str(dive.pk))
    assert Specimen.objects.get().stage == "wet"
    assert "begins as done" not in owner_client.get(answer["Location"]).content.decode()


def test_where_it_came_up_lately_it_is_asked(owner_client):
    this_year = str(timezone.localdate().year)
    answer = sent(owner_client, recovered=this_year)
    assert answer.status_code == 422
    assert [(p.at, p.why) for p in answer.context["problems"]] == [
        ("id_stage", "It came up lately: is it still wet, or done already? Choose how far along it is.")
    ]
    assert not Specimen.objects.exists()
    sent(owner_client, recovered=this_year, stage="soaking")
    assert Specimen.objects.get().stage == "soaking"


def test_what_was_said_counts(owner_client):
    sent(owner_client, recovered="the 1990s", stage="wet")
    assert Specimen.objects.get().stage == "wet"


def test_a_find_on_record_keeps_its_stage(owner_client):
    sent(owner_client, stage="cleaning")
    find = Specimen.objects.get()
    page = owner_client.get(f"/finds/{find.number}/edit/")
    assert page.context["form"]["stage"].value() == "cleaning"
    assert "" not in dict(page.context["form"].fields["stage"].choices)
    owner_client.post(f"/finds/{find.number}/edit/", {"what": "squat soda bottle", "stage": ""})
    find.refresh_from_db()
    assert (find.what, find.stage) == ("squat soda bottle", "cleaning")
