"""What was written can be taken back by the bin's button, and nothing goes that others rest on."""

import datetime
import re

import pytest
from django.utils import timezone

from catalogue.care.models import ConditionReport, SoakReading, Treatment
from catalogue.care.services import read_soak, start_soak
from catalogue.shelves.models import Place
from catalogue.sites import papers
from catalogue.sites.grounds import DaySpan
from catalogue.sites.models import Dive, Permission, Site
from catalogue.sites.queries import grounds_at
from catalogue.specimens.models import Specimen
from tests import factories
from tests.care.makers import soak

pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)


def press(client, address, **fields):
    """Press a button and read the page that follows."""
    return client.post(address, fields, follow=True).content.decode()


def button(client, page, kind, record):
    """The bin's button stands on that page."""
    address = f"/bin/{kind}/{record.pk}/"
    assert f'action="{address}"' in client.get(page).content.decode()
    return address


def made(kind):
    """One record of each kind, and the page that it is put into the bin from."""
    if kind == "dive":
        return (dive := factories.dive()), dive.get_absolute_url()
    if kind == "site":
        return (site := factories.site()), site.get_absolute_url()
    if kind == "permission":
        site = factories.site()
        leave = Permission.objects.create(site=site, basis="owner", authority="Velmoor Harbour Trust")
        return leave, f"{site.get_absolute_url()}permission/{leave.pk}/"
    if kind == "place":
        return (place := factories.place()), f"/shelves/{place.pk}/"
    find = factories.find()
    if kind == "condition":
        report = ConditionReport.objects.create(find=find, on=datetime.date(2024, 5, 1), grade="sound")
        return report, find.get_absolute_url()
    if kind == "treatment":
        done = Treatment.objects.create(find=find, method="dust", begun=timezone.now())
        return done, find.get_absolute_url()
    there = start_soak(soak(), [find])
    reading = read_soak(there, 400)
    return reading, f"/workbench/soaks/{there.pk}/readings/{reading.pk}/"


@pytest.mark.parametrize("kind", ["dive", "site", "permission", "place", "condition", "treatment", "reading"])
def test_each_goes_into_the_bin_from_its_page_and_comes_back_from_the_notice(owner_client, kind):
    record, page = made(kind)
    said = press(owner_client, button(owner_client, page, kind, record), next="/bin/")
    model = type(record)
    assert not model.objects.exists() and "is in the bin" in said
    undo = UNDO.search(said)
    assert undo and undo[1] == f"/bin/{kind}/{record.pk}/back/"
    press(owner_client, undo[1])
    assert model.objects.get() == record


def test_a_dive_with_finds_stays_and_says_how_many(owner_client):
    dive = factories.dive()
    finds = [factories.find(dive=dive), factories.find(dive=dive)]
    said = press(owner_client, f"/bin/dive/{dive.pk}/")
    assert "2 finds rest on it" in said and "Give them another dive" in said and Dive.objects.exists()
    for find in finds:
        find.put_in_bin()
    press(owner_client, f"/bin/dive/{dive.pk}/")
    assert not Dive.objects.exists()
    said = press(owner_client, f"/bin/find/{finds[0].pk}/back/")
    assert "put that back first" in said and not Specimen.objects.exists()
    said = press(owner_client, f"/finds/{finds[0].number}/put-back/")
    assert "put that back first" in said and not Specimen.objects.exists()
    press(owner_client, f"/bin/dive/{dive.pk}/back/")
    press(owner_client, f"/bin/find/{finds[0].pk}/back/")
    assert Specimen.objects.get().dive == dive


def test_a_site_with_dives_or_loose_finds_stays(owner_client):
    dive = factories.dive()
    assert "1 dive" in press(owner_client, f"/bin/site/{dive.site_id}/")
    dive.put_in_bin()
    loose = factories.find(site=dive.site)
    assert "1 find" in press(owner_client, f"/bin/site/{dive.site_id}/") and Site.objects.exists()
    loose.put_in_bin()
    press(owner_client, f"/bin/site/{dive.site_id}/")
    assert not Site.objects.exists()
    assert "put that back first" in press(owner_client, f"/bin/dive/{dive.pk}/back/")


def test_a_place_with_finds_or_places_in_it_stays(owner_client):
    case = factories.place()
    shelf = factories.place("third shelf", parent=case)
    find = factories.find(place=shelf)
    assert "1 place in it" in press(owner_client, f"/bin/place/{case.pk}/")
    assert "1 find in it" in press(owner_client, f"/bin/place/{shelf.pk}/")
    assert Place.objects.count() == 2
    find.put_in_bin()
    press(owner_client, f"/bin/place/{shelf.pk}/")
    press(owner_client, f"/bin/place/{case.pk}/")
    assert "put that back first" in press(owner_client, f"/bin/place/{shelf.pk}/back/")
    assert not Place.objects.exists()


def test_a_permission_in_the_bin_holds_no_more(owner_client):
    leave, _ = made("permission")
    assert grounds_at(leave.site, DaySpan()).answer == leave
    press(owner_client, f"/bin/permission/{leave.pk}/")
    assert grounds_at(Site.objects.get(), DaySpan()).state == "none"


def test_a_reading_in_the_bin_counts_no_more(owner_client):
    reading, _ = made("reading")
    page = f"/workbench/soaks/{reading.soak_id}/"
    assert "400 µS/cm" in owner_client.get(page).content.decode()
    press(owner_client, f"/bin/reading/{reading.pk}/")
    assert "400 µS/cm" not in owner_client.get(page).content.decode()
    assert SoakReading.everything.count() == 1
    read_soak(reading.soak, None, changed=True).put_in_bin()
    shown = owner_client.get("/bin/").content.decode()
    assert "400 µS/cm, read in Blue crate" in shown and "a change of water in Blue crate" in shown


def test_the_bin_says_of_which_piece_a_treatment_was(owner_client):
    done, _ = made("treatment")
    press(owner_client, f"/bin/treatment/{done.pk}/")
    assert f"of {done.find.number}" in owner_client.get("/bin/").content.decode()


def test_a_second_tap_moves_no_times(owner_client):
    dive = factories.dive()
    press(owner_client, f"/bin/dive/{dive.pk}/")
    first = Dive.everything.get().binned_at
    press(owner_client, f"/bin/dive/{dive.pk}/")
    assert Dive.everything.get().binned_at == first


def test_a_permission_deleted_for_good_takes_its_paper_along_unless_another_has_it(
    owner_client, data_folder, django_capture_on_commit_callbacks
):
    paper = data_folder / "files" / "papers" / "ab" / f"ab{'0' * 62}.pdf"
    paper.parent.mkdir(parents=True)
    paper.write_bytes(b"%PDF-1.7")
    name = paper.relative_to(papers.root()).as_posix()
    site = factories.site()
    first, second = (Permission.objects.create(site=site, basis="owner", file=name) for _ in range(2))
    for leave, there in ((first, True), (second, False)):
        press(owner_client, f"/bin/permission/{leave.pk}/")
        assert paper.exists() and "with 1 paper (8" in owner_client.get("/bin/").content.decode()
        with django_capture_on_commit_callbacks(execute=True):
            press(owner_client, f"/bin/permission/{leave.pk}/empty/")
        assert paper.exists() is there
