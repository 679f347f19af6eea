"""Dusting and looks at the light: due by an interval of one's own, done by one touch, undone."""

import datetime
import re

import pytest
from django.utils import timezone

from catalogue.shelves.models import Upkeep
from catalogue.shelves.tree import place_tree
from catalogue.shelves.upkeep import due_now, last_done, months_later, upkeep_state
from catalogue.specimens.queries import pieces_by_place
from tests import factories

pytestmark = pytest.mark.django_db
D = datetime.date
TODAY = D(2026, 8, 1)


def dusted(place, on: D, what: str = "dusted") -> Upkeep:
    at = timezone.make_aware(datetime.datetime.combine(on, datetime.time(12)))
    return Upkeep.objects.create(place=place, what=what, at=at)


def due(what: str = "dusted") -> list[str]:
    found = due_now(place_tree(), Upkeep.What(what), last_done(), TODAY, pieces_by_place())
    return [str(state.place) for state in found]


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        (D(2026, 1, 31), 1, D(2026, 2, 28)),
        (D(2024, 1, 31), 1, D(2024, 2, 29)),
        (D(2026, 11, 5), 3, D(2027, 2, 5)),
        (D(2026, 12, 1), 12, D(2027, 12, 1)),
        (D(2026, 12, 31), 120, D(2036, 12, 31)),
    ],
)
def test_months_later(day, months, then):
    assert months_later(day, months) == then


def test_an_interval_holds_inside_until_a_place_says_its_own():
    case = factories.place("Case", dust_months=6)
    shelf, box = factories.place("shelf", case), factories.place("box", case, dust_months=2)
    dusted(case, D(2026, 3, 1))
    tree, done = place_tree(), last_done()
    state = upkeep_state(tree, shelf, Upkeep.What.DUSTED, done)
    assert (state.months, state.said_by, state.due) == (6, case, D(2026, 9, 1))
    assert upkeep_state(tree, box, Upkeep.What.DUSTED, done).due == D(2026, 5, 1)
    assert upkeep_state(tree, shelf, Upkeep.What.LIGHT, done).months is None


def test_due_is_told_once_for_all_inside_or_for_each_that_is():
    case = factories.place("Case", dust_months=6)
    one, two = factories.place("one", case), factories.place("two", case)
    assert due() == [], "nothing stands there"
    factories.find(place=one)
    factories.find(place=two)
    assert due() == ["Case"], "none is on record"
    dusted(one, D(2026, 7, 1))
    assert due() == ["Case, two"]
    dusted(case, D(2026, 7, 2))
    assert due() == []
    assert due("light") == []


def test_the_day_itself_is_due_and_the_day_before_is_not():
    shelf = factories.place("shelf", light_months=1)
    factories.find(place=shelf)
    row = dusted(shelf, D(2026, 7, 1), "light")
    assert due("light") == ["shelf"]
    row.delete()
    dusted(shelf, D(2026, 7, 2), "light")
    assert due("light") == []


def test_a_place_that_holds_others_with_no_interval_stands_not_for_them():
    case = factories.place("Case")
    one, two = factories.place("one", case, dust_months=1), factories.place("two", case)
    factories.find(place=one)
    factories.find(place=two)
    assert due() == ["Case, one"]


def test_one_touch_writes_it_down_and_undo_takes_it_back(owner_client):
    shelf = factories.place("shelf", dust_months=3)
    factories.find(place=shelf)
    for address in ("/", "/shelves/", f"/shelves/{shelf.pk}/"):
        text = owner_client.get(address).content.decode()
        assert "none is on record" in text or "<b>due now</b>" in text, address
    sent = {"what": "dusted", "note": "soft brush"}
    answer = owner_client.post(f"/shelves/{shelf.pk}/upkeep/", sent, follow=True)
    text = answer.content.decode()
    assert Upkeep.objects.get().note == "soft brush" and "dusted: soft brush" in text
    assert "Dust shelf" not in owner_client.get("/").content.decode()
    owner_client.post(re.search(r'action="(/shelves/\d+/upkeep/\d+/undo/)"', text)[1])
    assert not Upkeep.objects.exists() and "Dust shelf" in owner_client.get("/").content.decode()


@pytest.mark.parametrize("what", ["", "swept"])
def test_something_else_writes_nothing(owner_client, what):
    shelf = factories.place()
    answer = owner_client.post(f"/shelves/{shelf.pk}/upkeep/", {"what": what}, follow=True)
    assert "Nothing was recorded" in answer.content.decode() and not Upkeep.objects.exists()


def test_more_places_due_are_told_in_one_line(owner_client):
    for n in range(4):
        factories.find(place=factories.place(f"shelf {n}", dust_months=1))
    text = owner_client.get("/").content.decode()
    assert "More places are due" in text
