"""Redating after the tables, a maker or the year changed."""

import datetime
from io import StringIO
from threading import Event

import pytest
from django.core.management import call_command

from catalogue.specimens.derived.redating import redate_all, redate_stale, stale
from catalogue.specimens.models import OwnMark, PhraseChange, Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def marked():
    maker = factories.brackwater()
    find = factories.find(parts=Parts(readings=[factories.reading("BW", symbol="wave", right="6")]))
    assert find.made_words == "one of 1926, 1936, 1946"
    return maker, find


def narrow(maker) -> None:
    """A change that nobody told the services of, as a new edition of the tables would be."""
    OwnMark.objects.filter(maker=maker).update(
        from_year=1930, changed=datetime.datetime(2030, 1, 1, tzinfo=datetime.UTC)
    )


def test_nothing_is_stale_after_saving(marked):
    factories.find("plain bottle")
    assert not stale().exists()


def test_a_changed_mark_makes_its_finds_stale_and_redating_says_what_changed(marked):
    maker, find = marked
    narrow(maker)
    assert stale().count() == Specimen.objects.count()
    out = StringIO()
    call_command("redate", stdout=out)
    find.refresh_from_db()
    assert find.made_words == "one of 1936, 1946"
    assert f"{find.number}: one of 1926, 1936, 1946 → one of 1936, 1946" in out.getvalue()
    assert not stale().exists()
    again = StringIO()
    call_command("redate", stdout=again)
    assert "up to date" in again.getvalue()


def test_redating_is_no_change_by_a_person(marked):
    maker, find = marked
    before = find.history.count()
    narrow(maker)
    list(redate_stale())
    assert find.history.count() == before


def test_an_interrupted_run_keeps_what_is_done_and_goes_on(marked):
    maker, _ = marked
    for n in range(5):
        factories.find(f"bottle {n}")
    narrow(maker)
    whole = stale().count()
    stop = Event()
    for progress in redate_stale(batch=2, stop=stop):
        assert progress.done <= 4
        if progress.done >= 4:
            stop.set()
    assert stale().count() == whole - 4
    assert [p.total for p in redate_stale(batch=10)] == [whole - 4]


def test_a_new_year_makes_everything_stale(marked):
    Specimen.objects.update(made_in=1999)
    assert stale().count() == 1
    list(redate_stale())
    assert not stale().exists()


def test_a_new_year_changes_nothing_for_what_came_up_on_a_dive(marked):
    dived = factories.find(dive=factories.dive(), colour="aqua")
    bought = factories.find(colour="aqua")
    Specimen.objects.update(made_in=2001, made_words="as it stood")
    assert sum(1 for _ in redate_stale()) == 1
    dived.refresh_from_db()
    bought.refresh_from_db()
    assert dived.made_words == "as it stood" and bought.made_words == "not yet dated"
    assert not stale().exists()


def test_redating_many_costs_few_queries(marked, django_assert_max_num_queries):
    for n in range(30):
        factories.find(f"bottle {n}", colour="aqua")
    # 4 for the tables, keys, savepoint and release, finds, 5 for their evidence, update; not one a find
    with django_assert_max_num_queries(16):
        list(redate_all(Specimen.objects.all(), batch=100))


def test_the_page_shows_what_waits_and_the_button_does_it(owner_client, marked):
    maker, find = marked
    narrow(maker)
    assert "Date 1 find again" in owner_client.get("/reference/redating/").content.decode()
    page = owner_client.post("/reference/redating/now/", follow=True).content.decode()
    assert "one of 1926, 1936, 1946" in page and "1 phrase changed" in page
    assert PhraseChange.objects.get().find == find


def test_the_button_is_the_owners_and_asks_for_a_post(client, owner_client):
    assert owner_client.get("/reference/redating/now/").status_code == 405
    assert client.post("/reference/redating/now/").status_code == 302
    assert client.get("/reference/redating/").status_code == 302
