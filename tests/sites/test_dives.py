"""Dives get their ordinal once; the pages say what came up."""

import datetime
import threading

import pytest
from django.db import connection
from django.utils import timezone

from catalogue.sites.grounds import DaySpan
from catalogue.sites.models import Dive, Permission, Site
from catalogue.sites.queries import grounds_at, outlook_at
from catalogue.sites.services import clear_hold, log_dive
from tests import factories

pytestmark = pytest.mark.django_db

DIVE = {"date": "2024-06-01", "minutes": "40", "depth_m": "11.5", "buddies_named": "Ansel Quick, Ruth Pell"}


def test_ordinals_run_within_a_year_and_stay_when_the_date_is_corrected():
    first = factories.dive(date=datetime.date(2024, 6, 1))
    second = factories.dive(date=datetime.date(2024, 5, 1))
    other_year = factories.dive(date=datetime.date(2023, 8, 1))
    assert (first.ordinal, second.ordinal, other_year.ordinal) == (1, 2, 1)
    first.date = datetime.date(2023, 12, 31)
    log_dive(first)
    assert (first.year, first.ordinal) == (2024, 1)


def test_an_ordinal_is_not_given_again_after_its_dive_is_gone():
    last = factories.dive()
    last.delete()
    assert factories.dive().ordinal == 2


def test_a_dive_is_logged_with_its_buddies(owner_client):
    site = factories.site()
    answer = owner_client.post("/dives/new/", {**DIVE, "site": site.pk})
    dive = Dive.objects.get()
    assert answer["Location"] == f"/dives/2024/{dive.ordinal}/"
    assert [str(p) for p in dive.buddies.all()] == ["Ansel Quick", "Ruth Pell"]
    page = owner_client.get(answer["Location"]).content.decode()
    assert "Ansel Quick, Ruth Pell" in page and "11.5 m" in page


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("date", str(timezone.localdate() + datetime.timedelta(days=2)), "in the future"),
        ("date", "3000-01-01", "in the future"),
        ("date", "yesterday", "valid date"),
        ("date", "", "required"),
        ("depth_m", "-5", "less than 0"),
        ("depth_m", "4000", "more than 350"),
        ("depth_m", "nan", "number"),
        ("minutes", "99999", "more than 1440"),
        ("site", "99999", "not there to choose"),
        ("notes", "x" * 10_001, "10,000 go in"),
    ],
)
def test_a_dive_that_cannot_be_is_refused_by_its_field(owner_client, field, typed, said):
    site = factories.site()
    answer = owner_client.post("/dives/new/", {**DIVE, "site": site.pk, field: typed})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page and f"id_{field}_error" in page
    assert not Dive.objects.exists()
    if field != "date":
        assert "2024-06-01" in page  # what was typed is still there


def test_a_missing_dive_is_not_found(owner_client):
    assert owner_client.get("/dives/2024/9/").status_code == 404


def test_the_dives_page_costs_the_same_for_many(owner_client, django_assert_num_queries):
    site = factories.site()
    for n in range(12):
        factories.find(dive=factories.dive(site, date=datetime.date(2024, 1, n + 1)))
    # session, user, count of dives, dives with counts, permissions of their sites, sites with counts, their
    # permissions
    with django_assert_num_queries(7):
        owner_client.get("/dives/")


def test_a_dive_page_costs_the_same_for_many_finds(owner_client, django_assert_num_queries):
    dive = factories.dive()
    for _ in range(7):
        factories.find(dive=dive)
    # session, user, dive with site, buddies, permissions, finds, covers, the axis, the dive's pictures,
    # its open card
    with django_assert_num_queries(10):
        owner_client.get(f"/dives/2024/{dive.ordinal}/")


class TestSites:
    def test_a_position_is_read_as_typed_and_shown_both_ways(self, owner_client):
        answer = owner_client.post(
            "/dives/sites/new/",
            {
                "name": "Tallow Cove",
                "latitude": "44 20 30 N",
                "longitude": "75° 55' 12\" W",
                "show_as": "hidden",
                "tidal": "yes",
                "wreck": "no",
                "military": "no",
            },
        )
        site = Site.objects.get()
        assert (float(site.latitude), float(site.longitude)) == (44.341667, -75.92)
        page = owner_client.get(answer["Location"]).content.decode()
        assert "44° 20.5′ N" in page and "44.341667" in page

    @pytest.mark.parametrize(
        ("given", "field", "said"),
        [
            ({"longitude": "200", "latitude": "10"}, "longitude", "between -180 and 180"),
            ({"latitude": "91", "longitude": "0"}, "latitude", "between -90 and 90"),
            ({"latitude": "10"}, "longitude", "both latitude and longitude"),
            ({"name": ""}, "name", "required"),
            ({"name": "x" * 10_000}, "name", "200 go in"),
            ({"name": "Heron Ledge"}, "name", "already"),
            ({"uncertainty_m": "-1"}, "uncertainty_m", "is the least"),
        ],
    )
    def test_a_site_that_cannot_be_is_refused(self, owner_client, given, field, said):
        factories.site("Heron Ledge")
        base = {"name": "Tallow Cove", "show_as": "hidden", "tidal": "no", "wreck": "no", "military": "no"}
        answer = owner_client.post("/dives/sites/new/", base | given)
        assert answer.status_code == 422
        assert said in answer.content.decode()
        assert Site.objects.count() == 1

    @pytest.mark.parametrize("name", ["<script>alert(1)</script>", "🌊 ledge", "صخرة البلشون", 'a & b "c"'])
    def test_a_name_is_shown_as_plain_text(self, owner_client, name):
        site = factories.site(name)
        page = owner_client.get(site.get_absolute_url()).content.decode()
        assert "<script>alert" not in page
        from django.utils.html import escape

        assert escape(name) in page

    def test_a_site_without_an_answer_shows_a_caution_until_there_is_one(self, owner_client):
        site = factories.site()
        assert "No answer on record" in owner_client.get(site.get_absolute_url()).content.decode()
        owner_client.post(
            f"{site.get_absolute_url()}permission/", {"basis": "owner", "authority": "Harbour office"}
        )
        page = owner_client.get(site.get_absolute_url()).content.decode()
        assert "No answer on record" not in page and "Harbour office" in page
        assert "valid, no last day on record" in page

    def test_not_asked_yet_is_no_answer_and_a_lapsed_one_holds_no_more(self):
        site = factories.site()
        today = timezone.localdate()
        Permission.objects.create(site=site, basis="not-asked")
        assert outlook_at(site, today).state == "not-asked"
        Permission.objects.create(site=site, basis="permit", valid_to=datetime.date(2020, 1, 1))
        assert outlook_at(site, today).state == "lapsed"
        then = grounds_at(site, DaySpan.of(datetime.date(2019, 1, 1)))
        assert (then.state, then.answer.basis) == ("valid", "permit")

    def test_a_wreck_holds_until_a_person_clears_it_with_a_reason(self, owner_client):
        site = factories.site(wreck="yes")
        assert site.holds
        with pytest.raises(ValueError, match="reason"):
            clear_hold(site, "  ", None)
        refused = owner_client.post(f"{site.get_absolute_url()}clear/", {"reason": "", "by": "R. Pell"})
        assert refused.status_code == 422 and "R. Pell" in refused.content.decode()
        site.refresh_from_db()
        assert site.holds
        owner_client.post(
            f"{site.get_absolute_url()}clear/", {"reason": "Receiver looked at the list", "by": "R. Pell"}
        )
        site.refresh_from_db()
        assert not site.holds and str(site.hold_cleared_by) == "R. Pell"
        # a second window that was open meanwhile
        told = owner_client.post(
            f"{site.get_absolute_url()}clear/", {"reason": "I think so too", "by": "Ida Marl"}, follow=True
        )
        assert "Yours was: I think so too" in told.content.decode()
        site.refresh_from_db()
        assert str(site.hold_cleared_by) == "R. Pell"

    def test_a_site_page_costs_the_same_for_many(self, owner_client, django_assert_num_queries):
        site = factories.site()
        dive = factories.dive(site)
        for _ in range(5):
            factories.find(dive=dive)
        # session, user, site, permissions, finds, covers, count, pictures, dives, a position to offer
        with django_assert_num_queries(10):
            owner_client.get(site.get_absolute_url())


@pytest.mark.django_db(transaction=True)
def test_two_writers_at_once_never_share_an_ordinal():
    site = factories.site()
    given: list[int] = []

    def log() -> None:
        try:
            for _ in range(4):
                given.append(log_dive(Dive(site=site, date=datetime.date(2024, 6, 1))).ordinal)
        finally:
            connection.close()

    threads = [threading.Thread(target=log) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(given) == list(range(1, 13))
