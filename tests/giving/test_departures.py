"""Lost or broken, returned, left in place: when, why, the place freed, taken back; promises extended."""

import datetime

import pytest
from django.utils import timezone

from catalogue.giving import services
from catalogue.giving.departures import depart, undo_departure
from catalogue.giving.lapsing import MORE_DAYS, extend, undo_extend
from catalogue.giving.models import Departure
from catalogue.giving.services import NotGiven
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import move_to
from tests import factories as make

pytestmark = pytest.mark.django_db
DAY = datetime.date(2025, 9, 12)


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda", dive=make.dive(), place=make.place("Hall case"))


def there() -> Specimen:
    return Specimen.objects.select_related("place").get()


@pytest.mark.parametrize("standing", ["lost", "returned", "left"])
def test_its_place_is_freed_and_comes_back_with_undo(find: Specimen, standing: str) -> None:
    gone = depart(find, standing, on=DAY, reason="Fell off the bench")
    assert (there().standing, there().place) == (standing, None)
    assert find.moves.order_by("-pk").first().why == gone.get_standing_display()
    undo_departure(find, gone.pk)
    assert (there().standing, str(there().place)) == ("kept", "Hall case")
    assert not Departure.objects.exists()
    with pytest.raises(NotGiven, match="Nothing was undone"):
        undo_departure(find, gone.pk)


def test_it_is_not_put_where_another_place_was_given_since(find: Specimen) -> None:
    gone = depart(find, "lost", on=DAY, reason="Not on its shelf")
    move_to(there(), make.place("Attic"))
    undo_departure(find, gone.pk)
    assert str(there().place) == "Attic"


def test_one_without_a_place_and_a_place_in_the_bin(find: Specimen) -> None:
    gone = depart(find, "lost", on=DAY, reason="Not on its shelf")
    gone.move.from_place.put_in_bin()
    undo_departure(find, gone.pk)
    assert there().place is None
    again = depart(there(), "left", on=DAY, reason="Too deep in the bank")
    assert again.move is None
    undo_departure(find, again.pk)


@pytest.mark.parametrize("standing", ["free", "handed-over", "sold", ""])
def test_nothing_else_is_a_departure(find: Specimen, standing: str) -> None:
    with pytest.raises(NotGiven, match="Say whether"):
        depart(find, standing, on=DAY, reason="x")


def test_what_is_promised_or_gone_already_is_refused(find: Specimen) -> None:
    services.promise(find, make.person())
    with pytest.raises(NotGiven, match="promised to"):
        depart(find, "lost", on=DAY, reason="x")
    services.withdraw(find)
    depart(find, "lost", on=DAY, reason="x")
    with pytest.raises(NotGiven, match="on record already"):
        depart(find, "lost", on=DAY, reason="x")


def lapsed(find: Specimen):
    made = services.promise(find, make.person(), on=DAY)
    made.until = DAY + datetime.timedelta(days=3)
    made.save()
    return made


def test_a_promise_that_lapsed_gets_more_time_from_today(find: Specimen) -> None:
    made = lapsed(find)
    before, today = made.until, timezone.localdate()
    assert extend(find, made.pk).until == today + datetime.timedelta(days=MORE_DAYS)
    later = extend(find, made.pk)
    assert later.until == today + datetime.timedelta(days=2 * MORE_DAYS)
    with pytest.raises(NotGiven, match="changed since"):
        undo_extend(find, made.pk, today)
    assert undo_extend(find, made.pk, later.until).until == today + datetime.timedelta(days=MORE_DAYS)
    assert before and there().standing == "promised"


def test_what_lapsed_stays_promised_until_somebody_says(find: Specimen) -> None:
    made = lapsed(find)
    assert there().standing == "promised" and services.open_promise(find) == made
    services.withdraw(find, free=True)
    assert there().standing == "free"
    with pytest.raises(NotGiven, match="no longer open"):
        extend(find, made.pk)


def test_a_promise_without_a_last_day_needs_no_more_time(find: Specimen) -> None:
    made = services.promise(find, make.person())
    with pytest.raises(NotGiven, match="no last day"):
        extend(find, made.pk)
