"""Stage and standing are undone from their notice, as long as nobody changed them since."""

import re

import pytest
from django.utils import timezone

from catalogue.giving.services import promise
from catalogue.specimens.models import Specimen
from tests import factories

pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)
WAYS = [("workbench", "stage", "soaking", "wet"), ("giving", "standing", "free", "kept")]


def change(client, find, room, column, value):
    """One tap; the address that its notice undoes it by."""
    page = client.post(f"/{room}/{find.number}/{column}/", {column: value}, follow=True).content.decode()
    found = UNDO.search(page)
    return found[1] if found else None


@pytest.mark.parametrize(("room", "column", "value", "before"), WAYS)
def test_a_change_is_undone_from_its_notice(owner_client, room, column, value, before):
    find = factories.find()
    undo = change(owner_client, find, room, column, value)
    assert getattr(Specimen.objects.get(), column) == value
    page = owner_client.post(undo, {"next": "/workbench/"}, follow=True)
    assert page.redirect_chain == [("/workbench/", 302)] and "Undone" in page.content.decode()
    assert getattr(Specimen.objects.get(), column) == before


@pytest.mark.parametrize(("room", "column", "value", "before"), WAYS)
def test_in_two_windows_what_was_changed_since_stays(owner_client, room, column, value, before):
    find = factories.find()
    undo = change(owner_client, find, room, column, value)
    # There and back again by the other window: it is as it was, and yet somebody meant it.
    change(owner_client, find, room, column, before)
    later = change(owner_client, find, room, column, value)
    page = owner_client.post(undo, follow=True).content.decode()
    assert "Nothing was undone" in page and "changed again since" in page
    assert getattr(Specimen.objects.get(), column) == value
    owner_client.post(later)
    assert getattr(Specimen.objects.get(), column) == before
    assert "Nothing was undone" in owner_client.post(later, follow=True).content.decode()


def test_what_else_was_changed_meanwhile_stays(owner_client):
    find = factories.find()
    undo = change(owner_client, find, "workbench", "stage", "soaking")
    other = Specimen.objects.get()
    other.notes = "A chip at the lip."
    other.save(update_fields=["notes"])
    owner_client.post(undo)
    there = Specimen.objects.get()
    assert (there.stage, there.notes) == ("wet", "A chip at the lip.")


def test_one_promised_meanwhile_stays_promised(owner_client):
    find = factories.find()
    undo = change(owner_client, find, "giving", "standing", "free")
    promise(Specimen.objects.get(), factories.person())
    assert "promised" in owner_client.post(undo, follow=True).content.decode()
    assert Specimen.objects.get().standing == "promised"


def test_the_same_again_is_nothing_to_undo(owner_client):
    find = factories.find()
    assert change(owner_client, find, "workbench", "stage", find.stage) is None
    assert change(owner_client, find, "giving", "standing", find.standing) is None


@pytest.mark.parametrize("entry", ["0", "999999"])
def test_an_entry_that_is_none_undoes_nothing(owner_client, entry):
    find = factories.find()
    for room, column in (("workbench", "stage"), ("giving", "standing")):
        page = owner_client.post(f"/{room}/{find.number}/{column}/undo/{entry}/", follow=True)
        assert page.status_code == 200
    assert owner_client.get(f"/workbench/{find.number}/stage/undo/{entry}/").status_code == 405


@pytest.mark.parametrize("standing", ["lost", "returned", "left"])
def test_leaving_is_on_the_history_line_and_what_was_undone_is_not(owner_client, standing):
    find = factories.find()
    word = str(Specimen.Standing(standing).label).capitalize()
    sent = {"standing": standing, "on": "2025-09-12", "reason": "Fell off the bench"}
    page = owner_client.post(f"/giving/{find.number}/gone/", sent, follow=True).content.decode()
    undo = UNDO.search(page)[1]
    assert any(each.startswith(word) for each in line(owner_client, find))
    owner_client.post(undo)
    assert word not in " ".join(line(owner_client, find))
    owner_client.post(f"/giving/{find.number}/gone/", sent | {"on": f"{timezone.localdate()}"})
    # an authority's piece is kept again only with how it came back
    back = {"standing": "kept", "hazard-reason": "The receiver of wreck released it"}
    owner_client.post(f"/giving/{find.number}/standing/", back)
    told = [each.split(",")[0] for each in line(owner_client, find)]
    assert [each for each in told if each != "Reason kept"][:2] == ["Here again", word]
    assert ("Reason kept" in told) == (standing == "returned")


def line(client, find):
    """The history line of its page, newest first."""
    history = client.get(find.get_absolute_url()).context["history"]
    return [f"{entry.name}, {entry.words}" for entry in history]


def test_a_visitor_undoes_nothing(client, owner_client):
    find = factories.find()
    undo = change(owner_client, find, "workbench", "stage", "soaking")
    assert client.post(undo)["Location"].startswith("/enter/")
    assert Specimen.objects.get().stage == "soaking"
