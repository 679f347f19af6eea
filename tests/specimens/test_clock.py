"""A machine whose clock is behind the finds: it is named as the cause, and all is dated all the same."""

import datetime
import html
import logging
from threading import Event

import pytest
from django.utils import timezone

import dating
from catalogue.access import start_checks
from catalogue.specimens import clock
from catalogue.specimens.derived import redating
from catalogue.specimens.derived.answers import Answers
from catalogue.specimens.derived.process_pool import _answers, question_of
from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def unseen(monkeypatch):
    """Nothing was looked at before, and nothing of it lasts."""
    monkeypatch.setattr(clock, "_latest_seen", None)


@pytest.fixture
def clock_says(monkeypatch):
    """Set the machine's clock to a day."""

    def say(year: int, month: int = 10, day: int = 24) -> None:
        now = datetime.datetime(year, month, day, 12, tzinfo=datetime.UTC)
        monkeypatch.setattr(timezone, "now", lambda: now)

    return say


def parts() -> Parts:
    return Parts(known=[KnownYears(what="label law", from_year=1964)])


def test_a_right_clock_is_nothing_to_speak_of(clock_says):
    assert clock.check() == [] and clock.this_year() == timezone.localdate().year
    clock_says(2026)
    factories.find(dive=factories.dive(date=datetime.date(2026, 10, 25)))
    assert clock.check() == []
    assert clock.check in start_checks._checks


def test_one_behind_a_dive_is_named_and_the_dives_year_holds(clock_says, django_assert_num_queries):
    clock_says(2026)
    factories.find(dive=factories.dive(date=datetime.date(2026, 5, 4)))
    clock_says(1996)
    with django_assert_num_queries(2):
        (said,) = clock.check()
    assert "clock is wrong: it says 24 Oct 1996, and something here is of 24 Oct 2026" in said
    assert clock.this_year() == 2026
    clock_says(2027)
    with django_assert_num_queries(0):
        assert clock.sentence() is None and clock.this_year() == 2027


def test_the_first_page_says_it_until_the_clock_is_set(clock_says, owner_client):
    clock_says(2026)
    factories.find(dive=factories.dive(date=datetime.date(2026, 5, 4)))
    clock_says(1996)
    clock.look()
    assert "clock is wrong: it says 24 Oct 1996" in html.unescape(owner_client.get("/").content.decode())
    clock_says(2026)
    assert "clock is wrong" not in owner_client.get("/").content.decode()


@pytest.mark.parametrize("page", ["/finds/new/", "/dives/new/"])
def test_one_far_ahead_is_asked_about_where_a_number_is_given(clock_says, client, owner, page):
    """Once: from the first save on the year is the one that was meant, or at least not told anew."""

    def said() -> bool:
        return "clock says 24 Oct 2036; the latest thing here is of 24 Oct 2026" in html.unescape(
            client.get(page).content.decode()
        )

    clock_says(2026)
    find = factories.find()
    clock.look()
    clock_says(2036)
    # By then the sign-in of before has ended.
    client.force_login(owner)
    assert said()
    assert "clock says" not in client.get(f"/finds/{find.number}/edit/").content.decode()
    factories.find()
    assert not said()


def test_a_winter_without_a_dive_is_no_reason_to_ask(clock_says, django_assert_num_queries):
    clock_says(2025)
    factories.find()
    clock.look()
    clock_says(2026)
    with django_assert_num_queries(0):
        assert clock.doubt() is None


def test_a_find_of_a_dive_after_today_is_dated(clock_says):
    clock_says(2026)
    dive = factories.dive(date=datetime.date(2026, 5, 4))
    clock_says(2015)
    find = factories.find(dive=dive, parts=parts())
    assert (find.made_words, find.made_in) == ("1964 or later", 2026)


def test_redating_with_a_clock_behind_changes_nothing(clock_says, caplog):
    clock_says(2026)
    dived = factories.find(dive=factories.dive(date=datetime.date(2026, 5, 4)), parts=parts())
    loose = factories.find(parts=parts())
    before = [(f.pk, f.made_words, f.made_in) for f in Specimen.objects.order_by("pk")]
    clock_says(1996)
    worker = redating.RedatingWorker()
    worker._round(Event())
    assert [(f.pk, f.made_words, f.made_in) for f in Specimen.objects.order_by("pk")] == before
    assert {dived.pk, loose.pk} == {pk for pk, *_ in before}
    assert not [record for record in caplog.records if record.levelno >= logging.WARNING]


def test_one_that_can_not_be_dated_keeps_nobody_waiting(monkeypatch, caplog):
    odd, sound = factories.find(parts=parts()), factories.find(parts=parts())
    Specimen.everything.update(made_with="older tables", made_words="as it was")
    about = Answers.about

    def refuse(self, asked):
        if asked.find.pk == odd.pk:
            raise dating.CaseError("that is no year", "known[0].from")
        return about(self, asked)

    monkeypatch.setattr(Answers, "about", refuse)
    redating.RedatingWorker()._round(Event())
    odd.refresh_from_db()
    sound.refresh_from_db()
    assert (odd.made_with, odd.made_words) == ("older tables", "as it was")
    assert sound.made_words == "1964 or later" and sound.made_with != "older tables"
    assert f"{odd.number} can't be dated afresh: that is no year" in caplog.text


def test_a_failure_does_not_end_the_worker(monkeypatch, caplog):
    stop, rounds = Event(), []

    def fails(stop):
        rounds.append(1)
        if len(rounds) == 2:
            stop.set()
        else:
            worker.wake()
        raise ZeroDivisionError

    monkeypatch.setattr(redating, "redate_stale", lambda stop: fails(stop))
    monkeypatch.setattr(redating, "bring_in_reference_makers", lambda: None)
    monkeypatch.setattr(redating, "close_old_connections", lambda: None)
    worker = redating.RedatingWorker()
    worker.run(stop)
    assert len(rounds) == 2 and "redating stopped half way" in caplog.text


def test_the_pool_answers_the_others(monkeypatch):
    reference = dating.reference()
    monkeypatch.setattr("catalogue.specimens.derived.process_pool._tables", [reference])
    case = {"features": [], "marks": [], "known": [], "this_year": 2026}
    sound, odd = question_of(case, True), question_of({**case, "recovered": 2030}, True)
    empty, full = _answers([odd, sound])
    assert empty == {} and full["made_in"] == 2026
