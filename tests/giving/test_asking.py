"""A visitor asks for a piece: who may ask, in which order, how many; and what the owner answers."""

import datetime

import pytest
from django.utils import timezone

from catalogue.common.models import HouseSettings
from catalogue.giving import asking, services
from catalogue.giving.answering import (
    NamesakeInBook,
    decline,
    erase_request,
    promise_to_asker,
    undo_decline,
)
from catalogue.giving.asking import NotAsked, ask_for, asked_before, requests_of, take_request_back
from catalogue.giving.models import PieceRequest, Promise, RequestTry
from catalogue.giving.queries import asked_for, open_requests, waiting_requests
from catalogue.giving.services import NotGiven
from catalogue.people.models import Person
from catalogue.people.services import erase
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def find() -> Specimen:
    return services.mark(make.find("Squat soda", dive=make.dive()), "free")


def ask(find: Specimen, n: int = 1, **given: str) -> PieceRequest:
    said = {"name": f"Ola {n}", "reach": f"boat shed {n}", "message": "", "token": f"t{n}"}
    return ask_for(find, **{**said, "address": f"10.0.{n // 250}.{n % 250}", **given})


def test_those_who_ask_stand_in_the_order_of_asking(find: Specimen) -> None:
    first, second = ask(find), ask(find, 2)
    assert (asked_before(first), asked_before(second)) == (0, 1)
    assert [each.requests for each in asked_for()] == [[first, second]]
    assert waiting_requests() == (2, 1)
    decline(first)
    assert asked_before(second) == 0


def test_one_browser_asks_once(find: Specimen) -> None:
    ask(find)
    with pytest.raises(NotAsked, match="asked for it already"):
        ask(find, 2, token="t1")
    assert PieceRequest.objects.count() == 1


@pytest.mark.parametrize("standing", ["kept", "lost"])
def test_only_what_is_free_can_be_asked_for(find: Specimen, standing: str) -> None:
    services.mark(find, standing)
    with pytest.raises(NotAsked, match="not free to take"):
        ask(find)


def test_nor_what_is_promised_though_everybody_sees_it(find: Specimen) -> None:
    services.share(find, shared=True)
    services.promise(find, make.person())
    with pytest.raises(NotAsked, match="not free to take"):
        ask(find)


@pytest.mark.parametrize("column", ["military", "wreck"])
def test_nor_what_a_hold_keeps(find: Specimen, column: str) -> None:
    Site.objects.update(**{column: "yes"})
    with pytest.raises(NotAsked, match="not free to take"):
        ask(find)


def test_nor_what_a_hazard_refuses(find: Specimen) -> None:
    Specimen.objects.filter(pk=find.pk).update(care_flags="|munition|")
    find.refresh_from_db()
    with pytest.raises(NotAsked, match="not free to take"):
        ask(find)


def test_the_owner_may_switch_it_off(find: Specimen) -> None:
    HouseSettings(visitors_may_ask=False).save()
    with pytest.raises(NotAsked, match="not taken here"):
        ask(find)


def test_one_address_asks_for_a_few_only(find: Specimen) -> None:
    for n in range(asking.MOST_FROM_ONE_HOME):
        ask(find, n, address="10.1.1.1")
    with pytest.raises(NotAsked, match=r"ask again in 15 min"):
        ask(find, 99, address="10.1.1.1")
    ask(find, 99, address="10.1.1.2")


def test_a_thousand_from_everywhere_are_few_for_the_owner(find: Specimen) -> None:
    others = [services.mark(make.find(f"Jar {n}"), "free") for n in range(12)]
    refused = 0
    for n in range(1000):
        try:
            ask([find, *others][n % 13], n)
        except NotAsked:
            refused += 1
    assert open_requests().count() == asking.MOST_A_DAY_IN_ALL
    assert refused == 1000 - asking.MOST_A_DAY_IN_ALL
    assert max(len(each.requests) for each in asked_for()) <= asking.MOST_OPEN_OF_A_PIECE
    # The next day one may ask again, until as many wait as anybody reads.
    PieceRequest.objects.update(created=timezone.now() - datetime.timedelta(days=2))
    ask(find, 2000)


def test_a_piece_and_the_house_have_their_most(find: Specimen, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(asking.MOST_OPEN_OF_A_PIECE):
        ask(find, n)
    with pytest.raises(NotAsked, match="So many have asked for this piece"):
        ask(find, 50)
    monkeypatch.setattr(asking, "MOST_OPEN_IN_ALL", asking.MOST_OPEN_OF_A_PIECE)
    other = services.mark(make.find("Jar"), "free")
    with pytest.raises(NotAsked, match="wait for an answer"):
        ask(other, 51)
    # Answered or taken back, they no longer stand in the way today, but they count as asked today.
    PieceRequest.objects.update(ended="declined", ended_at=timezone.now())
    with pytest.raises(NotAsked, match="today"):
        ask(find, 52)


def test_what_is_taken_back_is_erased_at_once(find: Specimen) -> None:
    ask(find)
    assert not take_request_back(find, "another") and not take_request_back(find, "")
    assert take_request_back(find, "t1") and not take_request_back(find, "t1")
    row = PieceRequest.objects.get()
    assert (row.ended, row.reach, row.name) == ("taken-back", "", "somebody (erased)")
    assert not requests_of("t1").exists() and not requests_of("").exists()
    ask(find)


def test_promised_in_one_touch_and_undone(find: Specimen) -> None:
    first, second = ask(find), ask(find, 2)
    made = promise_to_asker(first)
    first.refresh_from_db()
    assert (first.ended, first.promise, made.person.name, made.person.reach) == (
        "promised",
        made,
        "Ola 1",
        "boat shed 1",
    )
    assert waiting_requests() == (0, 0) and list(open_requests()) == [second]
    with pytest.raises(NotGiven, match="already promised"):
        promise_to_asker(second)
    with pytest.raises(NotGiven, match="answered or taken back"):
        promise_to_asker(first)
    services.undo_promise(find, made.pk)
    first.refresh_from_db()
    assert (first.ended, first.promise, first.person) == ("", None, None)
    assert not Person.objects.exists() and Specimen.objects.get().standing == "free"


def test_an_undo_leaves_a_person_that_something_rests_on(find: Specimen) -> None:
    made = promise_to_asker(ask(find))
    services.promise(make.find("Jar"), made.person)
    services.undo_promise(find, made.pk)
    assert Person.objects.get() == made.person


def test_two_of_one_name_are_not_one_person_unasked(find: Specimen) -> None:
    known = Person.objects.create(name="ola 1", reach="")
    asked = ask(find)
    with pytest.raises(NamesakeInBook) as both:
        promise_to_asker(asked)
    assert both.value.namesakes == [known] and not Promise.objects.exists()
    made = promise_to_asker(asked, who=str(known.pk))
    assert made.person == known
    services.undo_promise(find, made.pk)
    assert Person.objects.get() == known
    assert promise_to_asker(asked, who="new").person != known
    assert Person.objects.count() == 2


def test_the_same_name_and_way_to_reach_is_the_same_person(find: Specimen) -> None:
    known = Person.objects.create(name="Ola 1", reach="Boat  Shed 1")
    assert promise_to_asker(ask(find)).person == known


def test_declined_and_undone(find: Specimen) -> None:
    asked = decline(ask(find))
    with pytest.raises(NotGiven):
        decline(asked)
    undo_decline(asked)
    with pytest.raises(NotGiven, match="Nothing was undone"):
        undo_decline(asked)
    assert waiting_requests() == (1, 1)


def test_erasing_a_person_erases_what_they_asked_with(find: Specimen) -> None:
    ask(find, 2)
    made = promise_to_asker(ask(find, message="For my mother"))
    erase(made.person)
    other, row = PieceRequest.objects.order_by("-name")
    assert other.name == "somebody (erased)" and (other.reach, other.message) == ("", "")
    assert row.name == "Ola 2"
    # What was erased does not come back by an undo.
    services.undo_promise(find, made.pk)
    assert PieceRequest.objects.get(pk=other.pk).ended == "promised"


def test_a_request_is_erased_alone(find: Specimen) -> None:
    asked = ask(find, message="For my mother")
    erase_request(asked)
    row = PieceRequest.objects.get()
    assert (row.name, row.reach, row.message, row.ended) == ("somebody (erased)", "", "", "declined")


def test_addresses_are_kept_for_a_quarter_of_an_hour(find: Specimen) -> None:
    ask(find)
    RequestTry.objects.update(at=timezone.now() - datetime.timedelta(minutes=16))
    ask(find, 2)
    assert RequestTry.objects.count() == 1
