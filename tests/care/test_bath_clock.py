"""The clock of a bath: the catalogue's own times count, whatever happens to the machine's clock."""

import datetime
import threading
from datetime import timedelta
from unittest import mock

import pytest
from django.db import connection
from django.utils import timezone

from catalogue.care.models import Bath, BathLoad, Treatment
from catalogue.care.queries.workbench import open_baths
from catalogue.care.services import NotNow, choose, end_bath, set_clock_right, start_load, take_out_of_bath
from tests.care.makers import bath, crusted, tub
from tests.pages.workbench.pages import html

pytestmark = pytest.mark.django_db


def clock_at(moment: datetime.datetime):
    """The machine's clock, as it says it is."""
    return mock.patch("django.utils.timezone.now", return_value=moment)


def test_what_is_due_follows_from_what_is_stored_alone() -> None:
    """Nothing is kept in memory: a restart, or a laptop that slept through it, finds the bath overdue."""
    began = timezone.now()
    start_load(bath(crusted()))
    for hours, state in (
        (0.2, (False, False)),
        (0.3, (True, False)),
        (3, (True, False)),
        (5, (True, True)),
        (40, (True, True)),
    ):
        row = open_baths(began + timedelta(hours=hours))[0]
        assert (row.to_look, row.late) == state


def test_hours_stay_hours_when_summer_time_ends() -> None:
    """In Britain on 25 October 2026 the hour from one to two comes twice; four hours are four hours."""
    began = datetime.datetime(2026, 10, 25, 0, 30, tzinfo=datetime.UTC)
    with clock_at(began):
        load = start_load(bath(crusted()))
    assert load.look_to - began == timedelta(hours=4)
    with timezone.override("Europe/London"):
        assert f"{timezone.localtime(began):%H:%M}" == "01:30"
        assert f"{timezone.localtime(load.look_to):%H:%M}" == "04:30"


def test_a_clock_set_back_says_so_and_is_set_right(owner_client) -> None:
    load = start_load(bath(crusted()))
    here, back = f"/workbench/baths/{load.bath_id}/", load.began_at - timedelta(hours=1)
    with clock_at(back):
        assert "clock was set back" in html(owner_client.get(here))
        refused = owner_client.post(f"{here}out/{load.members.get().pk}/", {"outcome": "none"}, follow=True)
        assert "how long the pieces" in html(refused)
        assert not Treatment.objects.exists()
        owner_client.post(f"{here}clock/", {"minutes": "20"})
        assert "clock was set back" not in html(owner_client.get(here))
        owner_client.post(f"{here}out/{load.members.get().pk}/", {"outcome": "none"})
    done = Treatment.objects.get()
    assert (done.begun, done.ended) == (back - timedelta(minutes=20), back)


def test_all_times_of_the_load_move_along() -> None:
    load = start_load(bath(crusted()))
    now = load.began_at
    moved = set_clock_right(load, ago=timedelta(minutes=25), at=now)
    assert moved.began_at == now - timedelta(minutes=25)
    assert moved.look_from == moved.next_look == now - timedelta(minutes=10)
    assert moved.look_to == now + timedelta(minutes=215)
    assert moved.members.get().in_at == moved.began_at
    assert Bath.objects.get().mixed_at == moved.began_at


def test_a_second_load_cannot_have_gone_in_before_the_first_came_out() -> None:
    planned = bath(crusted("First"))
    take_out_of_bath(start_load(planned).members.get(), "none")
    choose(planned, crusted("Second"))
    second = start_load(planned)
    with pytest.raises(NotNow, match="before the load before"):
        set_clock_right(second, ago=timedelta(hours=1))
    take_out_of_bath(second.members.get(), "none")
    with pytest.raises(NotNow, match="out already"):
        set_clock_right(second, ago=timedelta(minutes=1))


@pytest.mark.parametrize("minutes", ["", "-5", "nan", "1e3", "99999", "٣", "soon", "2000"])
def test_minutes_that_cannot_be_change_nothing(owner_client, minutes: str) -> None:
    load = start_load(bath(crusted()))
    address = f"/workbench/baths/{load.bath_id}/clock/"
    html(owner_client.post(address, {"minutes": minutes}, follow=True))
    assert BathLoad.objects.get().began_at == load.began_at
    assert owner_client.get(address).status_code == 405


def test_a_clock_set_back_does_not_keep_a_bath_open() -> None:
    load = start_load(bath(crusted()))
    take_out_of_bath(load.members.get(), "none")
    load.refresh_from_db()
    with clock_at(load.ended_at - timedelta(hours=2)):
        assert end_bath(load.bath, "neutralised").ended_at == load.ended_at


def test_a_vessel_holds_one_bath(owner_client) -> None:
    first = start_load(bath(crusted("One")))
    second = bath(crusted("Two"))
    assert "still holds another bath" in html(owner_client.get(f"/workbench/baths/{second.pk}/"))
    with pytest.raises(NotNow, match="holds another bath"):
        start_load(second)
    take_out_of_bath(first.members.get(), "none")
    end_bath(first.bath, "neutralised")
    assert "still holds" not in html(owner_client.get(f"/workbench/baths/{second.pk}/"))
    assert start_load(second)


def test_a_vessel_that_turns_out_to_be_metal_takes_no_acid() -> None:
    planned = bath(crusted(), vessel=tub("Grey pail"))
    planned.vessel.material = "metal"
    planned.vessel.save()
    with pytest.raises(NotNow, match="metal"):
        start_load(planned)


def test_the_tab_says_it_without_script(owner_client) -> None:
    start_load(bath(crusted()), at=timezone.now() - timedelta(hours=3))
    assert "<title>Look in: Workbench" in html(owner_client.get("/workbench/"))
    BathLoad.objects.update(look_to=timezone.now() - timedelta(minutes=5))
    assert "<title>Overdue: Workbench" in html(owner_client.get("/workbench/"))
    assert "<title>Overdue: bath" in html(owner_client.get(f"/workbench/baths/{Bath.objects.get().pk}/"))


@pytest.mark.django_db(transaction=True)
def test_two_tabs_ending_the_same_bath_end_it_once() -> None:
    load = start_load(bath(crusted()))
    take_out_of_bath(load.members.get(), "none")
    gate, said = threading.Barrier(2), []

    def tab(how: str) -> None:
        try:
            gate.wait()
            said.append(end_bath(Bath.objects.get(pk=load.bath_id), how, note=how).note)
        finally:
            connection.close()

    tabs = [threading.Thread(target=tab, args=(how,)) for how in ("neutralised", "collected")]
    for each in tabs:
        each.start()
    for each in tabs:
        each.join()
    ended = Bath.objects.get()
    assert said == [ended.note, ended.note] and ended.ended_how == ended.note
