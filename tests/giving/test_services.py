"""Promising and handing over keep standing, promise, place and slip in step."""

import datetime
import json

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from catalogue.giving import services
from catalogue.giving.models import HandOver, Promise
from catalogue.giving.services import NotGiven
from catalogue.people.models import Person
from catalogue.sites.models import Site
from catalogue.specimens.models import Move, Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db
DAY = datetime.date(2025, 9, 12)


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda", dive=make.dive(), place=make.place("Hall case"), town=make.town())


@pytest.fixture
def bram() -> Person:
    return make.person("Bram Tolley")


def standing(find: Specimen) -> str:
    return Specimen.objects.get(pk=find.pk).standing


def test_free_and_kept_again(find: Specimen) -> None:
    services.mark(find, "free")
    assert standing(find) == "free"
    services.mark(find, "kept")
    assert standing(find) == "kept"


@pytest.mark.parametrize("word", ["promised", "handed-over", "sold", ""])
def test_some_standings_are_not_set_alone(find: Specimen, word: str) -> None:
    with pytest.raises(NotGiven):
        services.mark(find, word)
    assert standing(find) == "kept"


def test_a_promise(find: Specimen, bram: Person) -> None:
    services.promise(find, bram, on=DAY, until=timezone.localdate())
    assert standing(find) == "promised"
    with pytest.raises(NotGiven, match="already promised to Bram Tolley"):
        services.promise(find, make.person("Ivo Lark"))
    with pytest.raises(NotGiven, match="promised to Bram Tolley"):
        services.mark(find, "free")
    assert Promise.objects.count() == 1


def test_a_promise_that_ends_before_it_begins(find: Specimen, bram: Person) -> None:
    with pytest.raises(NotGiven, match="end before it begins"):
        services.promise(find, bram, on=DAY, until=DAY - datetime.timedelta(days=1))
    assert (standing(find), Promise.objects.count()) == ("kept", 0)


def test_the_database_takes_one_open_promise_alone(find: Specimen, bram: Person) -> None:
    services.promise(find, bram, on=DAY)
    with pytest.raises(IntegrityError), transaction.atomic():
        Promise.objects.create(find=find, person=bram, on=DAY)


def test_a_promise_until_a_day_that_is_past(find: Specimen, bram: Person) -> None:
    with pytest.raises(NotGiven, match="past already: give a later day, or none. If it is still to come"):
        services.promise(find, bram, on=DAY, until=timezone.localdate() - datetime.timedelta(days=1))
    assert (standing(find), Promise.objects.count()) == ("kept", 0)


@pytest.mark.parametrize(("free", "then"), [(False, "kept"), (True, "free")])
def test_a_promise_withdrawn(find: Specimen, bram: Person, free: bool, then: str) -> None:
    services.promise(find, bram, on=DAY)
    ended = services.withdraw(find, free=free)
    assert (ended.ended, standing(find)) == ("withdrawn", then)
    with pytest.raises(NotGiven, match="not promised"):
        services.withdraw(find)
    services.promise(find, make.person("Ivo Lark"))


def test_a_hand_over_keeps_the_promise_and_empties_the_place(find: Specimen, bram: Person) -> None:
    services.promise(find, bram, on=DAY)
    services.hand_over(find, bram, on=DAY)
    gone = Specimen.objects.get(pk=find.pk)
    assert (gone.standing, gone.place) == ("handed-over", None)
    assert Promise.objects.get().ended == "kept"
    move = Move.objects.first()
    assert move is not None
    assert (str(move.from_place), move.to_place, move.why) == ("Hall case", None, "handed over")


def test_a_piece_promised_to_one_is_not_handed_to_another(find: Specimen, bram: Person) -> None:
    services.promise(find, bram, on=DAY)
    with pytest.raises(NotGiven, match="promised to Bram Tolley"):
        services.hand_over(find, make.person("Ivo Lark"))
    assert (standing(find), HandOver.objects.count()) == ("promised", 0)
    assert Promise.objects.get().ended == ""


def test_what_is_gone_is_not_given_again(find: Specimen, bram: Person) -> None:
    services.hand_over(find, bram, on=DAY)
    for act in (services.promise, services.hand_over):
        with pytest.raises(NotGiven, match="not here any more"):
            act(find, bram)
    with pytest.raises(NotGiven, match="came back first"):
        services.mark(find, "kept")


def test_it_came_back(find: Specimen, bram: Person) -> None:
    services.hand_over(find, bram, on=DAY)
    back = services.came_back(find, on=DAY + datetime.timedelta(days=3))
    assert (standing(find), back.came_back_on) == ("kept", datetime.date(2025, 9, 15))
    with pytest.raises(NotGiven, match="not been handed over"):
        services.came_back(find)
    services.hand_over(find, bram)
    assert HandOver.objects.count() == 2


def test_it_does_not_come_back_before_it_went(find: Specimen, bram: Person) -> None:
    services.hand_over(find, bram, on=DAY)
    with pytest.raises(NotGiven, match="before it went"):
        services.came_back(find, on=DAY - datetime.timedelta(days=1))
    assert standing(find) == "handed-over"


@pytest.mark.parametrize("link", ["wreck", "military"])
def test_on_hold_nothing_is_given_away(find: Specimen, bram: Person, link: str) -> None:
    services.promise(find, bram, on=DAY)
    Site.objects.update(**{link: "yes"})
    for act in (
        lambda: services.hand_over(find, bram),
        lambda: services.withdraw(find, free=True),
    ):
        with pytest.raises(NotGiven, match="giving away waits"):
            act()
    services.withdraw(find)
    for act in (lambda: services.mark(find, "free"), lambda: services.promise(find, bram)):
        with pytest.raises(NotGiven, match="giving away waits"):
            act()
    # what the law may ask for stays open
    services.mark(find, "returned")
    assert standing(find) == "returned"


def test_a_cleared_hold_lets_it_go(find: Specimen) -> None:
    Site.objects.update(wreck="yes", hold_cleared_reason="The harbour office looked")
    services.mark(find, "free")
    assert standing(find) == "free"


def test_the_slip_keeps_the_words_of_the_day_and_no_name(find: Specimen, bram: Person) -> None:
    Specimen.objects.filter(pk=find.pk).update(story="Told by the fire.")
    given = services.hand_over(find, bram, on=DAY)
    words = json.loads(given.slip)
    assert words["story"] == "Told by the fire."
    assert words["place_line"] == "marked for Marrowby"
    assert words["where_found"] == "June 2024", "its site is hidden and names no water: the month alone"
    assert "Bram" not in given.slip
