"""Catalogue numbers: by dive and piece, given once, never again."""

import datetime
import threading

import pytest
from django.db import IntegrityError, close_old_connections, connection, transaction
from django.test import TransactionTestCase
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specimens.models import NumberSeries, Specimen
from catalogue.specimens.numbers import Number, give_number, read_number
from catalogue.specimens.services import keep_find, new_part
from tests import factories


@pytest.mark.django_db
def test_a_number_is_the_dives_year_its_ordinal_and_the_piece():
    first, second = factories.dive(), factories.dive()
    assert factories.find(dive=second).number == "2024.2.1"
    assert factories.find(dive=second).number == "2024.2.2"
    assert factories.find(dive=first).number == "2024.1.1"


@pytest.mark.django_db
def test_without_a_dive_it_is_the_year_of_cataloguing_and_nought():
    assert factories.find().number == f"{timezone.localdate().year}.0.1"


@pytest.mark.django_db
def test_it_stays_when_the_dive_is_set_later():
    find = factories.find()
    number = find.number
    find.dive = factories.dive()
    keep_find(find, fields=["dive"])
    assert Specimen.objects.get().number == number


@pytest.mark.django_db
def test_it_is_not_given_again_after_the_find_is_deleted_for_good():
    dive = factories.dive()
    factories.find(dive=dive)
    last = factories.find(dive=dive)
    last.delete()
    assert factories.find(dive=dive).number == "2024.1.3"


@pytest.mark.django_db
def test_parts_have_letters_that_are_not_given_again():
    find = factories.find(dive=factories.dive())
    stopper, wire = new_part(find, "stopper"), new_part(find, "wire")
    assert (stopper.number, wire.number) == ("2024.1.1a", "2024.1.1b")
    wire.delete()
    assert new_part(find, "label").number == "2024.1.1c"


@pytest.mark.django_db
def test_a_piece_has_at_most_26_parts():
    find = factories.find()
    Specimen.everything.filter(pk=new_part(find, "last").pk).update(number_part="z")
    with pytest.raises(ValueError, match="already has parts"):
        new_part(find, "one more")


@pytest.mark.django_db
def test_the_store_itself_refuses_a_number_twice():
    find = factories.find(dive=factories.dive())
    twin = Specimen(what="impostor", number="other", number_year=2024, number_ordinal=1, number_piece=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        twin.save()
    with pytest.raises(IntegrityError), transaction.atomic():
        Specimen.everything.create(
            what="impostor", number=find.number, number_year=1, number_ordinal=1, number_piece=9
        )


@pytest.mark.django_db
def test_a_failed_save_gives_the_number_back():
    dive = factories.dive()
    with pytest.raises(RuntimeError), transaction.atomic():
        factories.find(dive=dive)
        raise RuntimeError("the light went out")
    assert factories.find(dive=dive).number == "2024.1.1"


@pytest.mark.django_db
def test_finds_sort_by_the_integers():
    dives = [factories.dive() for _ in range(11)]
    for dive in (dives[8], dives[10], dives[0]):
        factories.find(dive=dive)
    for _ in range(10):
        last = factories.find(dive=dives[10])
    numbers = [find.number for find in Specimen.objects.in_order()]
    assert numbers[0] == last.number == "2024.11.11"
    assert numbers[-2:] == ["2024.9.1", "2024.1.1"]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("2026.14.3", Number(2026, 14, 3)),
        (" 2026.14.3A ", Number(2026, 14, 3, "a")),
        ("2026.0.12", Number(2026, 0, 12)),
        ("2026.14", None),
        ("26.14.3", None),
        ("2026.14.3ab", None),
        ("2026.1234567.3", None),
        ("", None),
    ],
)
def test_numbers_are_read(text, number):
    assert read_number(text) == number


@given(
    st.integers(1000, 9999), st.integers(0, 999999), st.integers(1, 999999), st.sampled_from(["", "a", "z"])
)
def test_what_is_written_reads_back(year, ordinal, piece, part):
    assert read_number(str(Number(year, ordinal, piece, part))) == Number(year, ordinal, piece, part)


class TwoWritersAtOnce(TransactionTestCase):
    """Real threads, each with a connection of its own, on a real store."""

    def test_no_number_is_given_twice(self):
        dive = factories.dive(date=datetime.date(2023, 5, 1))
        start, failed = threading.Barrier(4), []

        def write() -> None:
            try:
                start.wait(timeout=20)
                for _ in range(5):
                    factories.find(dive=dive)
            except Exception as error:  # told to the test's own thread below
                failed.append(error)
            finally:
                connection.close()

        threads = [threading.Thread(target=write) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=120)
        close_old_connections()
        assert failed == []
        pieces = sorted(Specimen.objects.values_list("number_piece", flat=True))
        assert pieces == list(range(1, 21))
        assert NumberSeries.objects.get(year=2023, ordinal=1).last == 20

    def test_a_series_begun_by_two_at_once_is_one_series(self):
        start, given_numbers, failed = threading.Barrier(3), [], []

        def take() -> None:
            try:
                start.wait(timeout=20)
                given_numbers.append(str(give_number(None, year=1999)))
            except Exception as error:  # told to the test's own thread below
                failed.append(error)
            finally:
                connection.close()

        threads = [threading.Thread(target=take) for _ in range(3)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=60)
        assert failed == []
        assert sorted(given_numbers) == ["1999.0.1", "1999.0.2", "1999.0.3"]
