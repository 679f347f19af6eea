"""The first page."""

import datetime

import pytest

from catalogue.desk.today.views import piece_of_the_day
from tests import factories

pytestmark = pytest.mark.django_db


def test_an_empty_catalogue_says_how_to_begin(owner_client):
    page = owner_client.get("/").content.decode()
    assert "first bottle" in page and "/finds/new/" in page


def test_it_counts_what_is_there_and_what_waits(owner_client):
    factories.find(stage="wet")
    factories.find(stage="wet")
    factories.find(stage="done", town=factories.town())
    page = owner_client.get("/").content.decode()
    assert "3 pieces" in page and "1 town" in page
    assert "<b>2</b> wet" in page


def test_what_left_waits_no_more(owner_client):
    factories.find(stage="wet", standing="returned")
    factories.find(stage="done")
    assert "Nothing is waiting" in owner_client.get("/").content.decode()


def test_the_piece_of_the_day_stays_all_day_and_changes_tomorrow():
    for n in range(3):
        factories.find(f"bottle {n}", stage="done")
    day = datetime.date(2026, 5, 1)
    chosen = [piece_of_the_day(day + datetime.timedelta(days=n)).find.pk for n in (0, 0, 1, 2, 3)]
    assert chosen[0] == chosen[1] == chosen[4]
    assert len(set(chosen)) == 3


def test_nothing_finished_gives_no_piece_of_the_day():
    factories.find(stage="wet")
    assert piece_of_the_day(datetime.date(2026, 5, 1)) is None


def test_it_costs_the_same_for_many(owner_client, django_assert_num_queries):
    for n in range(12):
        factories.find(f"bottle {n}", stage="done")
    owner_client.get("/")
    # session, user, the numbers, stages, finds, covers, pictured ones?, how many, the piece, its cover
    with django_assert_num_queries(10):
        owner_client.get("/")
