"""A promise and a hand-over are undone from their notice, as if they had never been."""

import re

import pytest

from catalogue.giving.models import HandOver, Promise
from catalogue.giving.services import came_back, withdraw
from catalogue.specimens.models import Specimen
from tests import factories as make

LOST = {"standing": "lost", "on": "2025-09-12", "reason": "Not on its shelf"}
pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)
TO_BRAM = {"person": "Bram Tolley", "on": "2025-09-12", "told": "on", "note": "as typed"}


def give(client, find, act):
    """Send the form; the address that its notice undoes it by."""
    page = client.post(f"/giving/{find.number}/{act}/", TO_BRAM, follow=True).content.decode()
    found = UNDO.search(page)
    assert found
    return found[1]


def lines(client, find):
    return [entry.name for entry in client.get(find.get_absolute_url()).context["history"]]


def test_a_promise_is_undone(owner_client) -> None:
    find = make.find(standing="free")
    assert "again" in owner_client.post(give(owner_client, find, "promise"), follow=True).content.decode()
    assert Specimen.objects.get().standing == "free" and not Promise.objects.exists()
    assert "Promised" not in lines(owner_client, find)
    give(owner_client, find, "promise")


def test_a_hand_over_is_undone_with_its_place_and_its_promise(owner_client) -> None:
    place = make.place()
    find = make.find(place=place)
    give(owner_client, find, "promise")
    undo = give(owner_client, find, "hand-over")
    assert Specimen.objects.get().place is None
    owner_client.post(undo)
    there = Specimen.objects.get()
    assert (there.standing, there.place) == ("promised", place)
    assert Promise.objects.get().ended == "" and not HandOver.objects.exists()
    assert "Handed over" not in lines(owner_client, find)


def test_in_two_windows_what_was_changed_since_stays(owner_client) -> None:
    find = make.find()
    undo = give(owner_client, find, "promise")
    withdraw(find)
    assert "no longer open" in owner_client.post(undo, follow=True).content.decode()
    assert Promise.objects.get().ended == "withdrawn" and Specimen.objects.get().standing == "kept"
    undo = give(owner_client, find, "hand-over")
    came_back(find)
    assert "come back since" in owner_client.post(undo, follow=True).content.decode()
    assert HandOver.objects.get().came_back_on and Specimen.objects.get().standing == "kept"


def noticed(client, find, act, **sent):
    """The address that the notice of a button undoes it by."""
    page = client.post(f"/giving/{find.number}/{act}/", sent, follow=True).content.decode()
    found = UNDO.search(page)
    assert found
    return found[1]


@pytest.mark.parametrize("then", ["", "free"])
def test_a_withdrawal_is_undone(owner_client, then) -> None:
    find = make.find()
    give(owner_client, find, "promise")
    undo = noticed(owner_client, find, "withdraw", then=then)
    assert "again" in owner_client.post(undo, follow=True).content.decode()
    assert Specimen.objects.get().standing == "promised" and Promise.objects.get().ended == ""
    assert "Promise withdrawn" not in lines(owner_client, find)


def test_a_withdrawal_is_not_undone_once_anything_was_done_since(owner_client) -> None:
    find = make.find()
    give(owner_client, find, "promise")
    undo = noticed(owner_client, find, "withdraw")
    owner_client.post(f"/giving/{find.number}/gone/", LOST)
    assert "Nothing was undone" in owner_client.post(undo, follow=True).content.decode()
    assert Specimen.objects.get().standing == "lost" and Promise.objects.get().ended == "withdrawn"
    owner_client.post(f"/giving/{find.number}/standing/", {"standing": "kept"})
    give(owner_client, find, "promise")
    assert "Nothing was undone" in owner_client.post(undo, follow=True).content.decode()
    assert Promise.objects.filter(ended="").count() == 1


def test_a_return_is_undone(owner_client) -> None:
    find = make.find(place=make.place())
    give(owner_client, find, "hand-over")
    undo = noticed(owner_client, find, "came-back")
    assert "again" in owner_client.post(undo, follow=True).content.decode()
    assert Specimen.objects.get().standing == "handed-over" and HandOver.objects.get().came_back_on is None
    assert "Came back" not in lines(owner_client, find)


def test_a_return_is_not_undone_once_the_piece_has_a_place(owner_client) -> None:
    find = make.find()
    give(owner_client, find, "hand-over")
    undo = noticed(owner_client, find, "came-back")
    place = make.place()
    owner_client.post(f"/shelves/{place.pk}/put/", {"numbers": find.number})
    Specimen.objects.update(place=place)
    assert "has a place by now" in owner_client.post(undo, follow=True).content.decode()
    assert HandOver.objects.get().came_back_on and Specimen.objects.get().standing == "kept"
